#pragma once
// The demo team's season on the real app, for tests that walk through it.

#include <filesystem>
#include <random>

#include "demo/season.h"
#include "tests/screen/hand.h"

namespace restand::test {

inline constexpr Glass tablet{1280, 800, 5.87f};

struct Folder {
    std::filesystem::path path =
        std::filesystem::temp_directory_path() / ("restand-year-" + std::to_string(std::random_device{}()));
    Folder() { std::filesystem::create_directories(path); }
    ~Folder() {
        std::error_code ignored;
        std::filesystem::remove_all(path, ignored);
    }
    std::filesystem::path demo(const char* name = "demo.restand") const {
        REQUIRE(make_demo(path / name).has_value());
        return path / name;
    }
};

inline void go(Hand& hand, const Action& action) {
    hand.bench().act(action);
    hand.look();
}

inline const Bike* bike_named(Hand& hand, const std::string& name) {
    for (const Bike* bike : hand.desk().ledger.bikes())
        if (bike->body.name == name) return bike;
    REQUIRE(false);
    return nullptr;
}

// At the bike, by a person.
inline void begin(Hand& hand, const char* bike = "No. 27") {
    go(hand, act::SetPerson{hand.desk().ledger.people().front()->id});
    go(hand, act::Go{Screen::bike, bike_named(hand, bike)->id});
}

// A hand at a bike of the demo's season.
struct DemoHand : private Folder, public Hand {
    explicit DemoHand(const char* bike = "No. 27") : Hand(tablet, demo()) { begin(*this, bike); }
};

inline double now_at(Hand& hand, End end, Point point) {
    const SetUp setup = setup_now(hand.desk(), hand.desk().bike);
    const Take* take = setup.take(end, point);
    REQUIRE(take != nullptr);
    return measured(take->reading).value;
}

}  // namespace restand::test
