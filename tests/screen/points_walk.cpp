// A linkage's points against the strut table, in the bike's form, by tapping: how well they agree, taking the
// best points and taking them back. Nothing is on disk until the bike is saved.

#include <cmath>

#include "core/quantity/unit.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

const BikeBody& form(Driver& driver) {
    REQUIRE(driver.state().form.has_value());
    return driver.state().form->body;
}

void type(Driver& driver, BikeField field, const std::string& text) {
    go(driver, act::OpenTag{{.of = Field::Of::bike, .bike = field}});
    go(driver, act::PadText{text});
    driver.tap("primary");
    if (driver.state().pad) go(driver, act::CloseTag{});
}

void add_strut(Driver& driver, double strut, double height) {
    driver.tap("pair:add");
    driver.keys(print_fixed(strut, 0));
    driver.tap("primary");
    driver.keys(print_fixed(height, 1));
    driver.tap("primary");
    if (driver.state().pad) go(driver, act::CloseTag{});
}

// Five struts in the shock's place. The bike's own points give the ride height, read to 0.1 mm. `error_mm`:
// error of one reading, mm.
void type_table(Driver& driver, double error_mm = 0) {
    const BikeBody body = driver.state().ledger.bike(driver.state().bike)->body;
    const auto map = LinkageMap::of(*body.mechanism.linkage);
    REQUIRE(map.has_value());
    for (int i = 0; i < 5; ++i) {
        const double strut = 316 - 15 * i;
        const auto droop = map->droop_at(mm(strut));
        REQUIRE(droop.has_value());
        const double height = 420 + in_mm(*body.geometry.swingarm * sin(*droop)) + (i == 2 ? error_mm : 0);
        add_strut(driver, strut, height);
    }
    REQUIRE(form(driver).rear.pairs.size() == 5);
}

bool offered(Driver& driver, const char* id) {
    for (const Row& row : driver.page().panel.rows)
        if (const auto* button = std::get_if<row::Button>(&row); button && button->id == id) return true;
    return false;
}

// The text in the side panel, and its ink.
const row::Note* note(Driver& driver, const std::string& part) {
    for (const Row& row : driver.page().panel.rows)
        if (const auto* n = std::get_if<row::Note>(&row); n && n->text.find(part) != std::string::npos)
            return n;
    return nullptr;
}

}  // namespace

TEST_CASE("points and struts: those of one bike agree, and nothing is offered") {
    DemoHand driver("No. 8");
    driver.tap("edit");
    CHECK(note(driver, "at most") == nullptr);
    type_table(driver);
    REQUIRE(note(driver, "They agree") != nullptr);
    CHECK(note(driver, "They agree")->ink == Ink::ink);
    CHECK_FALSE(offered(driver, "points:best"));
    driver.tap("pair:0");
    driver.tap("pair:0");
    CHECK(note(driver, "They agree") != nullptr);
    driver.tap("pair:0");
    CHECK(note(driver, "three strut lengths") != nullptr);
}

TEST_CASE(
    "points and struts: the points that fit best are taken, given back, taken again and saved with the "
    "bike") {
    const WalkFolder folder;
    constexpr Viewport upright{800, 1280, 5.87f};
    for (const auto& [viewport, percent] : {std::pair{tablet, 100}, {upright, 200}}) {
        Driver driver(viewport, folder.demo(percent == 100 ? "a.restand" : "b.restand"));
        begin(driver, "No. 8");
        go(driver, act::SetLook{false, percent});
        const Id id = driver.state().bike;
        const BikeBody on_disk = driver.state().ledger.bike(id)->body;
        driver.tap("edit");
        type_table(driver);
        type(driver, BikeField::pivot_to_rod, "62.5");
        type(driver, BikeField::unit_frame_x, "-5.2");
        const BikeBody typed = form(driver);
        const auto before = points_check(typed);
        REQUIRE(before.has_value());
        REQUIRE(before->agreement == Agreement::points);
        REQUIRE(note(driver, "most with the strut of") != nullptr);
        REQUIRE(offered(driver, "points:best"));
        driver.tap("points:best");
        CHECK(driver.shows("the farthest point"));
        const auto after = points_check(form(driver));
        REQUIRE(after.has_value());
        CHECK(after->fit.worst < before->fit.worst);
        CHECK(after->fit.worst == before->best->fit.worst);
        CHECK(after->agreement == Agreement::agrees);
        CHECK_FALSE(offered(driver, "points:best"));
        CHECK(driver.state().ledger.bike(id)->body == on_disk);
        driver.tap("points:typed");
        CHECK(form(driver) == typed);
        // Left without saving: unchanged.
        driver.tap("points:best");
        driver.tap("title:back");
        CHECK(driver.state().screen == Screen::bike);
        CHECK(driver.state().ledger.bike(id)->body == on_disk);
        driver.tap("edit");
        type_table(driver);
        type(driver, BikeField::pivot_to_rod, "62.5");
        type(driver, BikeField::unit_frame_x, "-5.2");
        driver.tap("points:best");
        // A point typed afterwards replaces them: there is nothing to go back to.
        const BikeBody best = form(driver);
        type(driver, BikeField::rod, "114.0");
        CHECK_FALSE(offered(driver, "points:typed"));
        type(driver, BikeField::rod, print_fixed(best.mechanism.linkage->rocker->rod.value, 2));
        driver.tap("primary");
        CHECK(driver.state().screen == Screen::bike);
        const BikeBody kept = driver.state().ledger.bike(id)->body;
        CHECK(kept.mechanism.linkage->unit_end == best.mechanism.linkage->unit_end);
        CHECK(kept.geometry.swingarm == best.geometry.swingarm);
        driver.start();
        CHECK(driver.state().ledger.bike(id)->body == kept);
    }
}

TEST_CASE("points and struts: a slip in the table says measure again, in the stop ink, and bends no points") {
    DemoHand driver("No. 8");
    driver.tap("edit");
    type_table(driver, 9);
    const row::Note* stop = note(driver, "Measure again: first the strut of 286");
    REQUIRE(stop != nullptr);
    CHECK(stop->ink == Ink::stop);
    CHECK_FALSE(offered(driver, "points:best"));
    const BikeBody as_typed = form(driver);
    go(driver, act::TakeBestPoints{});  // a replay cannot do it either
    CHECK(form(driver) == as_typed);
    // With these points the unit cannot be as long as 450 mm.
    add_strut(driver, 450, 700);
    const row::Note* none = note(driver, "longer or shorter than these points allow");
    REQUIRE(none != nullptr);
    CHECK(none->ink == Ink::stop);
    CHECK_FALSE(offered(driver, "points:best"));
}

TEST_CASE("struts: one that was taken out is brought back by its notice, where it stood") {
    DemoHand driver("No. 27");
    driver.tap("edit");
    const auto before = form(driver).rear.pairs;
    REQUIRE(before.size() == 10);
    driver.tap("pair:3");
    CHECK(form(driver).rear.pairs.size() == 9);
    REQUIRE(driver.state().notice);
    CHECK(driver.state().notice->text == "272.0 → 414.4 mm taken out of the table.");
    driver.tap("notice:key");
    CHECK(form(driver).rear.pairs == before);
    CHECK_FALSE(driver.state().notice);
    // By the keyboard's Undo too, and nothing on disk is taken back by it.
    const std::size_t entries = on_disk(driver);
    driver.tap("pair:0");
    driver.press(Key::undo);
    CHECK(form(driver).rear.pairs == before);
    CHECK(on_disk(driver) == entries);
}
