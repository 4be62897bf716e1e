#pragma once
// The demo team's season on the real app, for the walks.

#include <filesystem>
#include <random>

#include "demo/season.h"
#include "tests/screen/driver.h"

namespace restand::test {

// A tablet across and upright, and a larger screen.
inline constexpr Viewport walk_viewports[] = {tablet, {800, 1280, 5.87f}, {1920, 1080, 6.4f}};

// The demo's workshop file, made once in this program; nothing has it open.
const std::filesystem::path& demo_file();

struct WalkFolder {
    std::filesystem::path path =
        std::filesystem::temp_directory_path() / ("restand-year-" + std::to_string(std::random_device{}()));
    WalkFolder() { std::filesystem::create_directories(path); }
    ~WalkFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path, ignored);
    }
    std::filesystem::path demo(const char* name = "demo.restand") const {
        if (!std::filesystem::exists(path / name)) std::filesystem::copy_file(demo_file(), path / name);
        return path / name;
    }
};

inline const std::filesystem::path& demo_file() {
    static const WalkFolder folder;
    static const std::filesystem::path file = folder.path / "made.restand";
    static const bool made = make_demo(file).has_value();
    REQUIRE(made);
    return file;
}

inline void go(Driver& driver, const Action& action) {
    driver.session().act(action);
    driver.look();
}

inline const Bike* bike_named(Driver& driver, const std::string& name) {
    for (const Bike* bike : driver.state().ledger.bikes())
        if (bike->body.name == name) return bike;
    REQUIRE(false);
    return nullptr;
}

// Entries about the bike in hand.
inline std::size_t on_disk(Driver& driver) {
    return driver.state().ledger.facts_of(driver.state().bike).size();
}

// Opens the bike and selects who is working.
inline void begin(Driver& driver, const char* bike = "No. 27") {
    go(driver, act::SetPerson{driver.state().ledger.people().front()->id});
    go(driver, act::Go{Screen::bike, bike_named(driver, bike)->id});
}

// In a new workshop: somebody, and a bike with a leverage ratio.
inline void begin_bike(Driver& driver) {
    driver.tap("primary");
    driver.keys("ilse");
    driver.tap("primary");
    driver.tap("primary");
    driver.keys("no. 5");
    driver.tap("primary");
    driver.keys("2.05");
    driver.tap("primary");
    driver.tap("primary");
}

// A note of the side panel, in sight or not, has these words.
inline bool says(Driver& driver, const std::string& text) {
    for (const Row& row : driver.page().panel.rows) {
        const auto* note = std::get_if<row::Note>(&row);
        if (note && note->text.find(text) != std::string::npos) return true;
    }
    return false;
}

// From the bike's page: another swap, of this part.
inline void begin_swap(Driver& driver, const std::string& part) {
    driver.tap("swap:several");
    driver.tap("part:" + part);
    driver.tap("primary");
}

// Types a reading into what `id` opens, and says yes to a question.
inline void read(Driver& driver, const std::string& id, const std::string& number) {
    driver.tap(id);
    driver.keys(number);
    driver.tap("primary");
    if (driver.state().pad && !driver.state().pad->question.empty()) driver.tap("question:yes");
    if (driver.state().pad) driver.tap("key:close");
}
inline void read_all(Driver& driver,
                     std::initializer_list<std::pair<const char*, const char*>> readings) {
    for (const auto& [id, number] : readings) read(driver, std::string("row:") + id, number);
}

// The swap that is open on the bike in hand, if one is.
inline void set_swap_aside(Driver& driver) {
    if (const Swap* open = driver.state().ledger.open_swap(driver.state().bike))
        go(driver, act::AbandonSwap{open->id});
}

// The old shock and the heights with it, as 'Before' reads them.
inline void read_old_shock(Driver& driver) {
    read_all(driver, {{"before:rear:ride_height_topped_out", "500"},
                      {"before:rear:ride_height_static", "490"},
                      {"before:rear:ride_height_rider", "466"},
                      {"before:rear:eye_to_eye", "310"},
                      {"before:rear:spring_rate", "95"},
                      {"before:rear:spring_free_length", "160"},
                      {"before:rear:spring_installed_length", "150"}});
}

// From the bike's page: a shock swap up to 'Check', the new shock of this length as found.
inline void set_new_shock(Driver& driver, const char* as_found) {
    driver.tap("primary");
    read_old_shock(driver);
    go(driver, act::GoToStep{Step6::new_part});
    read_all(driver, {{"new_part:rear:eye_to_eye", as_found},
                      {"new_part:rear:spring_rate", "95"},
                      {"new_part:rear:spring_free_length", "160"}});
    go(driver, act::GoToStep{Step6::set});
    read_all(driver, {{"set:rear:eye_to_eye", "310"}, {"set:rear:spring_installed_length", "150"}});
}

// A driver on a bike of the demo's season.
struct DemoHand : private WalkFolder, public Driver {
    explicit DemoHand(const char* bike = "No. 27") : Driver(tablet, demo()) { begin(*this, bike); }
};

// Types one number so many times on the open pad, the bike settled anew between where that matters.
inline void type_repeats(Driver& driver, const std::string& number, int times) {
    if (is_settled(driver.state().pad->field.point)) driver.tap("key:settled");
    for (int i = 0; i < times; ++i) {
        driver.keys(number);
        if (i + 1 < times) driver.tap("repeat:add");
    }
    driver.tap("primary");
    if (driver.state().pad && !driver.state().pad->question.empty()) driver.tap("question:yes");
}

inline double now_at(Driver& driver, End end, Point point) {
    const SetUp setup = setup_now(driver.state().ledger, driver.state().bike);
    const StoredReading* stored = setup.stored(end, point);
    REQUIRE(stored != nullptr);
    return measured(stored->reading).value;
}

}  // namespace restand::test
