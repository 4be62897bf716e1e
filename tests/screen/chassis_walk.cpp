// Attitude and chain on the real app, by tapping: what is tried is on no disk until somebody says that it is set so;
// then it is one change, and can be taken back.

#include "app/views/view.h"
#include "core/ledger/chassis.h"
#include "core/ledger/map_of.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

std::size_t on_disk(Hand& hand) {
    return hand.desk().ledger.facts_of(hand.desk().bike).size();
}

double rake(Hand& hand, const SetUp& setup) {
    const Bike* bike = hand.desk().ledger.bike(hand.desk().bike);
    const auto chassis = chassis_of(bike->body, setup, setup_described(hand.desk(), bike->id));
    REQUIRE(chassis.has_value());
    return in_degrees(chassis->in(State::rider)->rake);
}

}  // namespace

TEST_CASE("attitude: tried by taps, nothing on disk; set so, one change; taken back") {
    const Folder folder;
    Hand hand(tablet, folder.demo());
    begin(hand);
    const double was = now_at(hand, End::front, Point::fork_position);
    hand.tap("attitude");
    const std::size_t entries = on_disk(hand);
    const double rake_was = rake(hand, setup_now(hand.desk(), hand.desk().bike));
    for (int i = 0; i < 3; ++i) hand.tap("tried:front:fork_position:more");
    CHECK(hand.desk().season.tried.size() == 1);
    CHECK(on_disk(hand) == entries);
    CHECK(now_at(hand, End::front, Point::fork_position) == was);
    // Tubes further up: a lower front, a steeper steering axis.
    CHECK(rake(hand, setup_tried(hand.desk(), hand.desk().bike)) < rake_was - 0.05);
    hand.tap("state:1");
    CHECK(hand.desk().season.looked_at == State::static_);
    hand.tap("nothing");
    CHECK(hand.desk().season.tried.empty());
    hand.tap("tried:front:fork_position:more");
    hand.tap("tried:front:fork_position:more");
    hand.tap("tried:front:fork_position:less");
    hand.tap("primary");
    CHECK(hand.desk().season.tried.empty());
    CHECK(now_at(hand, End::front, Point::fork_position) == doctest::Approx(was + 1));
    go(hand, act::Undo{});
    CHECK(now_at(hand, End::front, Point::fork_position) == doctest::Approx(was));
}

TEST_CASE("attitude: there and back again is nothing tried; a number is typed as well as tapped") {
    const Folder folder;
    Hand hand(tablet, folder.demo());
    begin(hand);
    hand.tap("attitude");
    hand.tap("tried:rear:spring_installed_length:more");
    hand.tap("tried:rear:spring_installed_length:less");
    CHECK(hand.desk().season.tried.empty());
    go(hand, act::OpenTag{{.of = Field::Of::tried, .point = Point::fork_position, .end = End::front}});
    go(hand, act::PadText{"12"});
    hand.tap("primary");
    REQUIRE(hand.desk().season.tried.size() == 1);
    CHECK(measured(hand.desk().season.tried[0].reading).value == 12);
    // Another bike has nothing tried.
    go(hand, act::ShowAttitude{bike_named(hand, "No. 8")->id});
    CHECK(hand.desk().season.tried.empty());
}

TEST_CASE("chain: an option tapped is tried whole; one that does not go round cannot be said to be set") {
    const Folder folder;
    Hand hand(tablet, folder.demo());
    begin(hand);
    hand.tap("chain");
    const double rear = now_at(hand, End::rear, Point::sprocket_rear);
    const Bike* bike = hand.desk().ledger.bike(hand.desk().bike);
    go(hand, act::Try{End::rear, Point::sprocket_rear, 3});
    const SetUp described = setup_described(hand.desk(), bike->id);
    REQUIRE(chain_of(bike->body, setup_tried(hand.desk(), bike->id), described)->tight.excess < mm(0));
    const auto sheet = view(hand.desk());
    CHECK_FALSE(sheet.primary.tap.has_value());
    CHECK(sheet.primary.why_not.find("too short") != std::string::npos);
    hand.tap("nothing");
    // The options: each leaves the slack at the tight spot as it is.
    const double tight = in_mm(chain_of(bike->body, setup_now(hand.desk(), bike->id), described)->tight.slack);
    std::size_t tapped = 0;
    const auto rows = view(hand.desk()).slip.rows;
    for (const Row& row : rows) {
        const auto* option = std::get_if<row::Button>(&row);
        if (!option || !option->id.starts_with("gear:")) continue;
        go(hand, option->tap);
        const auto chain = chain_of(bike->body, setup_tried(hand.desk(), bike->id), described);
        REQUIRE(chain.has_value());
        // The axle is set to a tenth of a millimetre, and slack goes with the root of the excess.
        CHECK(std::fabs(in_mm(chain->tight.slack) - tight) < 3);
        go(hand, act::TryNothing{});
        ++tapped;
    }
    CHECK(tapped >= 5);
    CHECK(now_at(hand, End::rear, Point::sprocket_rear) == rear);
}

TEST_CASE("linkage: typed in the bike's form, it is used once it closes, and stays on disk") {
    const Folder folder;
    Hand hand(tablet, folder.demo());
    begin(hand, "No. 64");
    const Id id = hand.desk().bike;
    hand.tap("edit");
    go(hand, act::LinkageKind{1});
    const auto type = [&](BikeField field, const char* text) {
        go(hand, act::OpenTag{{.of = Field::Of::bike, .bike = field}});
        go(hand, act::PadText{text});
        go(hand, act::PadNext{});
        go(hand, act::CloseTag{});
    };
    type(BikeField::unit_frame_x, "-20");
    type(BikeField::unit_frame_z, "250");
    type(BikeField::unit_arm_x, "-230");
    type(BikeField::unit_arm_z, "20");
    REQUIRE(hand.desk().form.has_value());
    REQUIRE(LinkageMap::of(*hand.desk().form->body.mechanism.linkage).has_value());
    go(hand, act::SaveBike{});
    const auto kept = hand.desk().ledger.bike(id)->body;
    hand.start();
    CHECK(hand.desk().ledger.bike(id)->body == kept);
    const auto map = map_of(kept, End::rear);
    REQUIRE(map.has_value());
    CHECK(map->length_range().second < mm(1000));   // a mechanism has an end, a single ratio has none
}
