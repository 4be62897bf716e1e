// The real program killed while it copies its workshop: the workshop and every finished copy are whole, and the
// next start makes the copy that was broken off.
#include <doctest/doctest.h>

#include <chrono>
#include <random>
#include <set>
#include <thread>

#include "core/codec/body_json.h"
#include "core/store/backup.h"
#include "demo/season.h"
#include "tests/killed/real_app.h"
#include "tests/killed/virtual_display.h"
#include "tests/store/workshop.h"

using namespace restand;
using namespace std::chrono_literals;
namespace fs = std::filesystem;
using Time = std::chrono::steady_clock;

namespace {

// The copies under way, or the finished ones.
std::set<fs::path> files(const fs::path& copies, bool parts) {
    std::set<fs::path> found;
    std::error_code none;
    for (fs::directory_iterator it(copies, none), end; !none && it != end; it.increment(none))
        if ((it->path().extension() == ".part") == parts) found.insert(it->path());
    return found;
}
bool part_there(const fs::path& copies) {
    return !files(copies, true).empty();
}

template <class Until>
bool comes(Until until) {
    const auto give_up = Time::now() + 20s;
    while (!until() && Time::now() < give_up) std::this_thread::sleep_for(200us);
    return until();
}

}  // namespace

TEST_CASE(
    "the real program killed while it makes a copy: workshop and copies are whole, the copy is made again") {
    const test::Folder folder{test::Folder::On::disk}, home{test::Folder::On::disk};
    const fs::path file = folder("workshop.restand"), copies = folder("backups");
    REQUIRE(make_demo(file).has_value());
    test::VirtualDisplay display(1280, 800);
    std::mt19937 random(1);
    int broken_off = 0;
    constexpr int kills = 25;
    for (int i = 0; i < kills; ++i) {
        {  // Something new: a copy is due at the next start.
            Store store = test::open(file);
            REQUIRE(store.append(encode(PersonBody{"No. " + std::to_string(i)})));
        }
        display.wait_until_empty();
        const auto before = files(copies, false);
        test::RealApp app(file, display.name(), home.path());
        // On a busy machine a copy may be finished before anybody looks.
        REQUIRE(comes([&] { return part_there(copies) || files(copies, false) != before; }));
        std::this_thread::sleep_for(std::chrono::microseconds(random() % 60'000));
        app.kill();
        broken_off += part_there(copies);
        Store store = test::open(file);
        const auto health = store.check();
        REQUIRE(health);
        CHECK(health->whole);
        CHECK(health->found.empty());
        const auto made = backups(copies, file);
        REQUIRE(made);
        for (const Backup& copy : *made) CHECK(copy.good);
    }
    MESSAGE(kills, " kills, ", broken_off, " copies broken off");
    CHECK(broken_off > 3);
    // Left alone, it is made, and nothing is left of the broken ones.
    const auto made_before = backups(copies, file);
    {
        Store store = test::open(file);
        REQUIRE(store.append(encode(PersonBody{"last"})));
    }
    display.wait_until_empty();
    test::RealApp app(file, display.name(), home.path());
    const auto entries = [&] {
        const auto made = backups(copies, file, 0, false);
        return made && !made->empty() ? made->front().entries : 0;
    };
    const std::uint64_t before = made_before && !made_before->empty() ? made_before->front().entries : 0;
    CHECK(comes([&] { return entries() > before && !part_there(copies); }));
    app.kill();
    const auto made = backups(copies, file);
    REQUIRE(made);
    REQUIRE_FALSE(made->empty());
    for (const Backup& copy : *made) CHECK(copy.good);
}
