#pragma once
// An invented workshop for the store's tests: folders that go away, and a swap to write down.

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

#include "core/codec/body_json.h"
#include "core/store/store.h"

namespace restand::test {

// In memory where the system has that: a killed process loses no written page either way, and a sync costs
// nothing. What a sync is worth on a real disk is measured in tests/bench/store.cpp.
class Folder {
public:
    enum class On { memory, disk };
    explicit Folder(On on = On::memory) {
        const std::filesystem::path memory = "/dev/shm", disk = std::filesystem::temp_directory_path();
        const bool fast = on == On::memory && std::filesystem::is_directory(memory);
        std::string pattern = ((fast ? memory : disk) / "restand-XXXXXX").string();
        check(::mkdtemp(pattern.data()) != nullptr, "a folder for the test");
        path_ = pattern;
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() {
        std::error_code ignored;
        std::filesystem::permissions(path_, std::filesystem::perms::owner_all, ignored);
        std::filesystem::remove_all(path_, ignored);
    }
    std::string path() const { return path_.string(); }
    std::string path(const std::string& name) const { return (path_ / name).string(); }
    std::string operator()(const std::string& name) const { return path(name); }

private:
    std::filesystem::path path_;
};

inline std::string bytes_of(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}
inline void write_bytes(const std::string& path, std::string_view bytes) {
    std::ofstream(path, std::ios::binary).write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}

inline Store open(const std::string& path, Store::Mode mode = Store::Mode::create) {
    auto store = Store::open(path, mode);
    REQUIRE_MESSAGE(store.has_value(), path);
    return std::move(*store);
}
template <class T>
T got(Result<T> result) {
    if (!result) FAIL(result.error().subject << ": " << result.error().detail);
    return std::move(*result);
}

inline Reading reading(Point point, std::string text, Unit unit = Unit::mm) {
    return {point, {{std::move(text), unit}}, {"calliper", 0.01, 0.03}, "on the stand"};
}
inline BikeBody bike(const std::string& name) {
    BikeBody body;
    body.name = name;
    body.rear.leverage = 2.05;
    body.rear.pairs = {{mm(290), mm(455)}, {mm(310.5), mm(500)}};
    body.geometry.rake = degrees(24);
    return body;
}

inline constexpr std::int64_t march_2026 = 1'772'323'200'000;  // 2026-03-01, ms
inline constexpr std::int64_t noon = 1'790'000'000'000;  // `date -u -d @1790000000`: 2026-09-21 14:13:20

// A bike, a swap on it with two readings; the ids are of the entries.
struct Begun {
    Id person, bike, swap, step, first, second;
};
inline Begun begin_swap(Store& store) {
    Begun b;
    b.person = got(store.append(encode(PersonBody{"Ines"}))).id;
    b.bike = got(store.append(encode(test::bike("No. 27"), {}, {}, b.person))).id;
    b.swap = got(store.append(encode(SwapBody{{SwapPart::shock}}, b.bike, {}, b.person))).id;
    b.step = got(store.append(encode(StepBody{Step6::before}, b.bike, b.swap, b.person))).id;
    const ReadingBody height{Phase::before, reading(Point::ride_height_rider, "469,8"), false};
    const ReadingBody length{Phase::before, reading(Point::eye_to_eye, "309,9"), true};
    b.first = got(store.append(encode(height, b.bike, b.swap, b.person))).id;
    b.second = got(store.append(encode(length, b.bike, b.swap, b.person))).id;
    return b;
}
inline void add_person(Store& store) {
    got(store.append(encode(PersonBody{"Noor"})));
}
inline std::vector<Entry> by_id(std::vector<Entry> entries) {
    std::sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) { return a.id < b.id; });
    return entries;
}
inline Ledger ledger_of(const std::vector<Entry>& entries) {
    Ledger ledger;
    for (const Unread& unread : read_into(ledger, entries))
        FAIL(to_text(unread.entry) << ": " << unread.error.subject << " " << unread.error.detail);
    return ledger;
}

}  // namespace restand::test
