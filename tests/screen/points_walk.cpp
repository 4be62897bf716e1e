// A linkage's points against the strut table, in the bike's form, by tapping: how well they agree, the
// points that fit best taken and given back, nothing on disk until the bike is saved.

#include <cmath>

#include "core/quantity/unit.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

const BikeBody& form(Hand& hand) {
    REQUIRE(hand.desk().form.has_value());
    return hand.desk().form->body;
}

void type(Hand& hand, BikeField field, const std::string& text) {
    go(hand, act::OpenTag{{.of = Field::Of::bike, .bike = field}});
    go(hand, act::PadText{text});
    hand.tap("primary");
    if (hand.desk().pad) go(hand, act::CloseTag{});
}

void add_strut(Hand& hand, double strut, double height) {
    hand.tap("pair:add");
    hand.keys(print_fixed(strut, 0));
    hand.tap("primary");
    hand.keys(print_fixed(height, 1));
    hand.tap("primary");
    if (hand.desk().pad) go(hand, act::CloseTag{});
}

// Five struts in the shock's place, the wheel where the bike's own points put it, read to 0.1 mm; `slip`:
// one of them misread.
void type_table(Hand& hand, double slip = 0) {
    const BikeBody body = hand.desk().ledger.bike(hand.desk().bike)->body;
    const auto map = LinkageMap::of(*body.mechanism.linkage);
    REQUIRE(map.has_value());
    for (int i = 0; i < 5; ++i) {
        const double strut = 316 - 15 * i;
        const auto droop = map->droop_at(mm(strut));
        REQUIRE(droop.has_value());
        const double height = 420 + in_mm(*body.geometry.swingarm * sin(*droop)) + (i == 2 ? slip : 0);
        add_strut(hand, strut, height);
    }
    REQUIRE(form(hand).rear.pairs.size() == 5);
}

bool offered(Hand& hand, const char* id) {
    for (const Row& row : hand.sheet().slip.rows)
        if (const auto* button = std::get_if<row::Button>(&row); button && button->id == id) return true;
    return false;
}

// The words of the slip, and in which ink.
const row::Note* note(Hand& hand, const std::string& part) {
    for (const Row& row : hand.sheet().slip.rows)
        if (const auto* n = std::get_if<row::Note>(&row); n && n->text.find(part) != std::string::npos)
            return n;
    return nullptr;
}

}  // namespace

TEST_CASE("points and struts: those of one bike agree, and nothing is offered") {
    DemoHand hand("No. 8");
    hand.tap("edit");
    CHECK(note(hand, "at most") == nullptr);
    type_table(hand);
    REQUIRE(note(hand, "They agree") != nullptr);
    CHECK(note(hand, "They agree")->ink == Ink::ink);
    CHECK_FALSE(offered(hand, "points:best"));
    hand.tap("pair:0");
    hand.tap("pair:0");
    CHECK(note(hand, "They agree") != nullptr);
    hand.tap("pair:0");
    CHECK(note(hand, "three strut lengths") != nullptr);
}

TEST_CASE(
    "points and struts: the points that fit best are taken, given back, taken again and saved with the "
    "bike") {
    const Folder folder;
    constexpr Glass upright{800, 1280, 5.87f};
    for (const auto& [glass, percent] : {std::pair{tablet, 100}, {upright, 200}}) {
        Hand hand(glass, folder.demo(percent == 100 ? "a.restand" : "b.restand"));
        begin(hand, "No. 8");
        go(hand, act::SetLook{false, percent});
        const Id id = hand.desk().bike;
        const BikeBody on_disk = hand.desk().ledger.bike(id)->body;
        hand.tap("edit");
        type_table(hand);
        type(hand, BikeField::pivot_to_rod, "62.5");
        type(hand, BikeField::unit_frame_x, "12.5");
        const BikeBody typed = form(hand);
        const auto before = points_check(typed);
        REQUIRE(before.has_value());
        REQUIRE(before->agreement == Agreement::points);
        REQUIRE(note(hand, "most with the strut of") != nullptr);
        REQUIRE(offered(hand, "points:best"));
        hand.tap("points:best");
        CHECK(hand.shows("the farthest point moved"));
        const auto after = points_check(form(hand));
        REQUIRE(after.has_value());
        CHECK(after->fit.worst < before->fit.worst);
        CHECK(after->fit.worst == before->best->fit.worst);
        CHECK(after->agreement == Agreement::agrees);
        CHECK_FALSE(offered(hand, "points:best"));
        CHECK(hand.desk().ledger.bike(id)->body == on_disk);
        hand.tap("points:typed");
        CHECK(form(hand) == typed);
        // Left without saving: as it was.
        hand.tap("points:best");
        hand.tap("title:back");
        CHECK(hand.desk().screen == Screen::bike);
        CHECK(hand.desk().ledger.bike(id)->body == on_disk);
        hand.tap("edit");
        type_table(hand);
        type(hand, BikeField::pivot_to_rod, "62.5");
        type(hand, BikeField::unit_frame_x, "12.5");
        hand.tap("points:best");
        // A point typed afterwards is the person's: there is nothing to go back to.
        const BikeBody best = form(hand);
        type(hand, BikeField::rod, "114.0");
        CHECK_FALSE(offered(hand, "points:typed"));
        type(hand, BikeField::rod, print_fixed(best.mechanism.linkage->rocker->rod.value, 2));
        hand.tap("primary");
        CHECK(hand.desk().screen == Screen::bike);
        const BikeBody kept = hand.desk().ledger.bike(id)->body;
        CHECK(kept.mechanism.linkage->unit_end == best.mechanism.linkage->unit_end);
        CHECK(kept.geometry.swingarm == best.geometry.swingarm);
        hand.start();
        CHECK(hand.desk().ledger.bike(id)->body == kept);
    }
}

TEST_CASE("points and struts: a slip in the table says measure again, in the stop ink, and bends no points") {
    DemoHand hand("No. 8");
    hand.tap("edit");
    type_table(hand, 9);
    const row::Note* stop = note(hand, "Measure again: first the strut of 286");
    REQUIRE(stop != nullptr);
    CHECK(stop->ink == Ink::stop);
    CHECK_FALSE(offered(hand, "points:best"));
    const BikeBody as_typed = form(hand);
    go(hand, act::TakeBestPoints{});  // not to be had from a replay either
    CHECK(form(hand) == as_typed);
    // 450 mm is longer than the unit can be on these points.
    add_strut(hand, 450, 700);
    const row::Note* none = note(hand, "longer or shorter than these points allow");
    REQUIRE(none != nullptr);
    CHECK(none->ink == Ink::stop);
    CHECK_FALSE(offered(hand, "points:best"));
}
