// What does it cost to keep a reading, and to open a workshop with 20 000 of them?
//   one reading committed: at most 6 x a bare write + fsync of the same size, on the same disk
//   open + opening() + decode with 20 000 readings: a share of the 200 ms to the first frame
// The two writes take turns, so that other work on the machine slows both. Prints, and fails beyond the
// limit.

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <ctime>
#include <filesystem>

#include "core/exchange/body_json.h"
#include "core/store/store.h"

using namespace restand;

namespace {

using Moment = std::chrono::steady_clock::time_point;
Moment now() {
    return std::chrono::steady_clock::now();
}
double ms_since(Moment start) {
    return std::chrono::duration<double, std::milli>(now() - start).count();
}
double median(std::vector<double> v) {
    std::nth_element(v.begin(), v.begin() + static_cast<std::ptrdiff_t>(v.size() / 2), v.end());
    return v[v.size() / 2];
}
template <class T>
T must(Result<T> result) {
    check(result.has_value(), result ? "" : result.error().detail.c_str());
    return std::move(*result);
}

ReadingBody reading(int n) {
    const Point point = static_cast<Point>(n % 3);
    return {Phase::before,
            {point, {{std::to_string(400 + n % 90) + ",5", Unit::mm}}, {"tape", 0.5, 0.5}, "on the stand"}};
}

// Another bare write: the same bytes at the end of a file that grows.
double bare_ms(int fd, const std::string& bytes) {
    const Moment start = now();
    const bool written = ::write(fd, bytes.data(), bytes.size()) == static_cast<ssize_t>(bytes.size());
    check(written && ::fsync(fd) == 0, "bare write");
    return ms_since(start);
}

double commit_ratio(const std::string& folder) {
    constexpr int runs = 200;
    Store store = must(Store::open(folder + "/commit.restand", Store::Mode::create));
    const int fd = ::open((folder + "/bare").c_str(), O_WRONLY | O_CREAT | O_APPEND, 0644);
    const Id bike = must(store.append(encode(BikeBody{}))).id;
    std::vector<double> bare, committed;
    std::size_t size = 0;
    for (int i = 0; i < runs; ++i) {
        const NewEntry entry = encode(reading(i), bike, bike, bike);
        size = entry.body.size() + 200;  // ids, clock, hashes
        bare.push_back(bare_ms(fd, std::string(size, 'x')));
        const Moment start = now();
        (void)must(store.append(entry));
        committed.push_back(ms_since(start));
    }
    ::close(fd);
    const double ratio = median(committed) / median(bare);
    std::printf(
        "one reading of %zu bytes, median of %d: bare write+fsync %.2f ms, committed %.2f ms, ratio %.1f "
        "(limit 6)\n",
        size, runs, median(bare), median(committed), ratio);
    return ratio;
}

// A long season: closed swaps of 33 readings, each kept as a baseline of 30 values; one swap left open.
void make_season(const std::string& path, int readings) {
    Store store = must(Store::open(path, Store::Mode::create));
    std::vector<Id> bikes;
    for (const char* name : {"27", "91", "4", "58", "12"}) {
        BikeBody bike;
        bike.name = name;
        bikes.push_back(must(store.append(encode(bike))).id);
    }
    for (int n = 0, swap_number = 0; n < readings; ++swap_number) {
        const Id bike = bikes[static_cast<std::size_t>(swap_number) % bikes.size()];
        const Id swap = must(store.append(encode(SwapBody{SwapKind::shock}, bike))).id;
        std::vector<NewEntry> entries;
        BaselineBody baseline{"feels as before", {}};
        for (int i = 0; i < step_count; ++i)
            entries.push_back(encode(StepBody{static_cast<Step6>(i)}, bike, swap));
        for (int i = 0; i < 33; ++i, ++n) {
            entries.push_back(encode(reading(n), bike, swap));
            if (i < 30)
                baseline.values.push_back(
                    {End::rear, {reading(n).reading, swap, swap, 1'790'000'000'000, swap, false}});
        }
        if (n < readings) {
            entries.push_back(encode(baseline, bike, swap));
            entries.push_back(encode(SwapEndBody{true}, bike, swap));
        }
        (void)must(store.append_all(entries));
    }
}

double cpu_ms() {
    return 1000.0 * static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

double opening_ms(const std::string& path) {
    std::vector<double> runs, cpu;
    std::size_t entries = 0;
    double open_ms = 0, read_ms = 0;
    for (int i = 0; i < 9; ++i) {
        const Moment start = now();
        const double cpu_start = cpu_ms();
        const Store store = must(Store::open(path, Store::Mode::write));
        open_ms = ms_since(start);
        const auto opening = must(store.opening());
        read_ms = ms_since(start) - open_ms;
        Ledger ledger;
        check(read_into(ledger, opening).empty(), "everything decodes");
        runs.push_back(ms_since(start));
        cpu.push_back(cpu_ms() - cpu_start);
        entries = opening.size();
    }
    std::printf(
        "start with 20 000 readings (%.1f MB): %zu entries, median of %zu %.1f ms, of processor %.1f ms "
        "(last: open %.1f, opening %.1f ms; limit 60)\n",
        static_cast<double>(std::filesystem::file_size(path)) / 1e6, entries, runs.size(), median(runs),
        median(cpu), open_ms, read_ms);
    return median(runs);
}

void check_ms(const std::string& path) {
    const Store store = must(Store::open(path, Store::Mode::read));
    const Moment start = now();
    const Health health = must(store.check());
    std::printf("check of all %llu entries: %.0f ms, %s\n", static_cast<unsigned long long>(health.entries),
                ms_since(start), health.whole ? "whole" : "NOT whole");
}

}  // namespace

int main() {
    std::string folder = (std::filesystem::temp_directory_path() / "restand-bench-XXXXXX").string();
    check(::mkdtemp(folder.data()) != nullptr, "a folder for the benchmark");
    const double ratio = commit_ratio(folder);
    make_season(folder + "/season.restand", 20'000);
    const double opening = opening_ms(folder + "/season.restand");
    check_ms(folder + "/season.restand");
    std::filesystem::remove_all(folder);
    return ratio <= 6.0 && opening <= 60.0 ? 0 : 1;
}
