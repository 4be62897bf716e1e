// What does it cost to keep a reading, and to open a workshop with 20 000 of them?
// The committed and the bare write take turns, so that other work on the machine slows both.

#include <fcntl.h>
#include <unistd.h>

#include "tests/bench/season.h"

using namespace restand;

namespace {

// The same bytes at the end of a file that grows.
double bare_ms(int fd, const std::string& bytes) {
    const bench::Moment start = bench::now();
    const bool written = ::write(fd, bytes.data(), bytes.size()) == static_cast<ssize_t>(bytes.size());
    check(written && ::fsync(fd) == 0, "bare write");
    return bench::ms_since(start);
}

bool commit(const bench::Folder& folder) {
    constexpr int runs = 200;
    constexpr double limit = 6.0;
    Store store = bench::must(Store::open(folder / "commit.restand", Store::Mode::create));
    const int fd = ::open((folder / "bare").c_str(), O_WRONLY | O_CREAT | O_APPEND, 0644);
    const Id bike = bench::must(store.append(encode(BikeBody{}))).id;
    std::vector<double> bare, committed;
    std::size_t size = 0;
    for (int i = 0; i < runs; ++i) {
        const NewEntry entry = encode(bench::reading(i), bike, bike, bike);
        size = entry.body.size() + 200;  // ids, clock, hashes
        bare.push_back(bare_ms(fd, std::string(size, 'x')));
        const bench::Moment start = bench::now();
        (void)bench::must(store.append(entry));
        committed.push_back(bench::ms_since(start));
    }
    ::close(fd);
    const double ratio = bench::median(committed) / bench::median(bare);
    std::printf(
        "one reading of %zu bytes, median of %d: bare write+fsync %.2f ms, committed %.2f ms, ratio %.1f   "
        "limit %g%s\n",
        size, runs, bench::median(bare), bench::median(committed), ratio, limit,
        ratio <= limit ? "" : "   BEYOND");
    return ratio <= limit;
}

bool opening(const std::string& path) {
    return bench::report(
        "open, opening() and fold, 20 000 readings",
        bench::times(9,
                     [&](int) {
                         const Store store = bench::must(Store::open(path, Store::Mode::write));
                         Ledger ledger;
                         check(read_into(ledger, bench::must(store.opening())).empty(), "everything decodes");
                     }),
        60);
}

bool health(const std::string& path) {
    const Store store = bench::must(Store::open(path, Store::Mode::read));
    return bench::report(
        "check of every entry",
        bench::times(3, [&](int) { check(bench::must(store.check()).whole, "the season is whole"); }), 0);
}

}  // namespace

int main() {
    const bench::Folder folder;
    bench::make_season(folder / "season.restand", 20'000);
    bool fine = opening(folder / "season.restand");
    fine &= health(folder / "season.restand");
    fine &= commit(folder);
    return fine ? 0 : 1;
}
