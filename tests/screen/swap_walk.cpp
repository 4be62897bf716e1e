// A whole swap on the real app, by tapping what a person taps: a new workshop, a name, a bike, six steps, a
// baseline. The numbers are the case of core/exchange/case.md; what is expected is worked out beside them.

#include "tests/screen/team.h"

using namespace restand;

namespace {

constexpr Glass glasses[] = {{1280, 800, 5.87f}, {800, 1280, 5.87f}, {1920, 1080, 6.4f}};

// First start: who is working, then a bike with a name and one leverage ratio.
void begin(Hand& hand) {
    CHECK(hand.sheet().title == "Who is working?");
    hand.tap("primary");
    hand.keys("jo");
    hand.tap("primary");
    CHECK(hand.sheet().who == "working: Jo");
    hand.tap("primary");  // Add a bike: its name first
    hand.keys("no. 5");
    hand.tap("primary");  // then its leverage ratio
    hand.keys("2.05");
    hand.tap("primary");
    CHECK(hand.sheet().primary.label == "Save the bike");
    hand.tap("primary");
    REQUIRE(hand.desk().ledger.bikes().size() == 1);
    CHECK(hand.sheet().title == "No. 5");
}

void read(Hand& hand, const std::string& id, const std::string& number) {
    hand.tap(id);
    REQUIRE(hand.desk().pad.has_value());
    while (!hand.desk().pad->repeats.empty()) hand.tap("repeat:0");
    hand.keys(number);
    hand.tap("primary");
    if (hand.desk().pad && !hand.desk().pad->question.empty()) hand.tap("question:yes");
    if (hand.desk().pad) hand.tap("key:close");
}

void before(Hand& hand) {
    hand.tap("primary");  // Swap the shock
    CHECK(hand.sheet().slip.title == "Before: the old shock in");
    read(hand, "tag:before:rear:ride_height_topped_out", "500");
    read(hand, "tag:before:rear:ride_height_static", "490.3");
    read(hand, "row:before:rear:ride_height_rider", "469.8");
    read(hand, "row:before:rear:eye_to_eye", "310");
    read(hand, "tag:before:rear:spring_free_length", "160");
    read(hand, "tag:before:rear:spring_installed_length", "150");
    read(hand, "tag:before:rear:spring_rate", "95");
    read(hand, "row:before:rear:gas_force", "150");
    read(hand, "row:before:rear:chain_slack", "32");
}

void new_part(Hand& hand) {
    CHECK(hand.sheet().primary.label == "On to the new part");
    hand.tap("primary");
    read(hand, "row:new_part:rear:eye_to_eye", "305");
    read(hand, "row:new_part:rear:eye_to_eye_min", "300");
    read(hand, "row:new_part:rear:eye_to_eye_max", "316");
    read(hand, "row:new_part:rear:length_mm_per_turn", "1.25");
    read(hand, "row:new_part:rear:travel", "66");
    read(hand, "row:new_part:rear:gas_force", "420");
    read(hand, "row:new_part:rear:spring_rate", "100");
    read(hand, "row:new_part:rear:spring_free_length", "155");
    read(hand, "row:new_part:rear:spring_block_length", "72");
    read(hand, "row:new_part:rear:spring_installed_length", "148");
    read(hand, "row:new_part:rear:collar_mm_per_turn", "1.5");
}

// l_r = 310 − 30.2/2.05 = 295.268; F = 150 + 95·(10 + 14.732) = 2499.5; L' = 310; p' = (2499.5 − 420)/100 −
// 14.732 = 6.064; installed 155 − 6.064 = 148.94. From 305 at 1.25 mm a turn: 4 turns out. From 148 at 1.5:
// 0.62 out, the
// nearest quarter is ½ (148.75) or ¾ (149.13); 148.94 lies 0.19 from both, the rider height decides.
void answer(Hand& hand) {
    hand.tap("primary");  // Work out the answer
    CHECK(hand.sheet().slip.title == "Set this on the new shock");
    CHECK(hand.shows("310.0"));
    CHECK(hand.shows("4 turns out"));
    CHECK(hand.shows("½ turn out"));
    CHECK(hand.shows("Arithmetic on your readings"));
}

void set_and_check(Hand& hand) {
    hand.tap("primary");  // I have set it
    hand.tap("tag:set:rear:eye_to_eye");
    hand.tap("key:same");
    hand.tap("primary");
    if (hand.desk().pad && hand.desk().pad->field.point != Point::spring_installed_length)
        hand.tap("key:close");
    if (!hand.desk().pad) hand.tap("row:set:rear:spring_installed_length");
    hand.tap("key:same");
    hand.tap("primary");
    if (hand.desk().pad) hand.tap("key:close");
    CHECK(hand.sheet().primary.label == "On to the check");
    hand.tap("primary");
    read(hand, "tag:check:rear:ride_height_topped_out", "500");
    read(hand, "row:check:rear:ride_height_rider", "470");
}
}  // namespace

TEST_CASE("a whole swap by taps, from an empty workshop to the kept baseline, on three glasses") {
    for (const Glass& glass : glasses) {
        CAPTURE(glass.width_px);
        CAPTURE(glass.height_px);
        Hand hand(glass);
        begin(hand);
        before(hand);
        new_part(hand);
        answer(hand);
        set_and_check(hand);
        // 470 after 469.8, both by the same tape, which tells 2 mm.
        CHECK(hand.shows("Restored"));
        hand.tap("step:6");
        CHECK(hand.sheet().primary.label == "Keep as baseline");
        hand.tap("primary");
        const Bike* bike = hand.desk().ledger.bikes().front();
        const Baseline* kept = hand.desk().ledger.newest_baseline(bike->id);
        REQUIRE(kept);
        CHECK(kept->body.reason == "shock swapped · restored");
        const BaselineValue* eye = kept->value(End::rear, Point::eye_to_eye);
        REQUIRE(eye);
        CHECK(measured(eye->take.reading).value == doctest::Approx(310.0));
        const BaselineValue* rider = kept->value(End::rear, Point::ride_height_rider);
        REQUIRE(rider);
        CHECK(rider->take.reading.repeats.front().text == "470");
        CHECK(hand.desk().ledger.person(rider->take.by)->name == "Jo");
        CHECK(kept->value(End::rear, Point::chain_slack));
        CHECK_FALSE(hand.desk().ledger.open_swap(bike->id));
    }
}

TEST_CASE(
    "the app killed at any step comes back at that step with every reading, and the half-typed digits") {
    Hand hand(glasses[0]);
    begin(hand);
    before(hand);
    hand.tap("row:before:rear:axle_position");
    hand.keys("11.");
    hand.start();
    CHECK(hand.sheet().slip.title == "Before: the old shock in");
    REQUIRE(hand.desk().pad.has_value());
    CHECK(hand.desk().pad->entry == "11.");
    CHECK(hand.sheet().who == "working: Jo");
    hand.keys("11.5");  // a gauge's number is not written behind what was half typed
    hand.tap("primary");
    if (hand.desk().pad) hand.tap("key:close");
    new_part(hand);
    hand.tap("primary");
    hand.start();
    CHECK(hand.sheet().slip.title == "Set this on the new shock");
    const Swap* swap = open_swap(hand.desk());
    REQUIRE(swap);
    CHECK(swap->takes.size() == 21);  // nine and the axle before, eleven of the new part
    CHECK(swap->take({Phase::before, End::rear, Point::axle_position})->reading.repeats.front().text == "11.5");
}

TEST_CASE("a gauge that types fills one tag after the other, hands on the tool") {
    Hand hand(glasses[0]);
    begin(hand);
    hand.tap("primary");
    hand.gauge("500");  // nothing is open: the first needed tag opens by itself
    CHECK(open_swap(hand.desk())->take({Phase::before, End::rear, Point::ride_height_topped_out}));
    REQUIRE(hand.desk().pad.has_value());
    CHECK(hand.desk().pad->field.point == Point::ride_height_static);
    hand.gauge("490,3");
    hand.gauge("469.8");
    const Swap* swap = open_swap(hand.desk());
    CHECK(swap->take({Phase::before, End::rear, Point::ride_height_static})->reading.repeats.front().text == "490,3");
    CHECK(measured(swap->take({Phase::before, End::rear, Point::ride_height_static})->reading).value ==
          doctest::Approx(490.3));
    CHECK(swap->take({Phase::before, End::rear, Point::ride_height_rider}));
}

TEST_CASE("wrong input says what and what to do, and keeps nothing") {
    Hand hand(glasses[0]);
    begin(hand);
    hand.tap("primary");
    hand.tap("tag:before:rear:ride_height_topped_out");
    hand.keys("1.2.3");
    hand.tap("primary");
    REQUIRE(hand.desk().pad.has_value());
    CHECK_FALSE(hand.desk().pad->problem.empty());
    CHECK(hand.shows("Not a number"));
    CHECK(open_swap(hand.desk())->takes.empty());
    for (int i = 0; i < 5; ++i) hand.tap("key:erase");
    hand.keys("99999");
    hand.tap("primary");
    CHECK(hand.shows("Cannot be"));
    CHECK(open_swap(hand.desk())->takes.empty());
    for (int i = 0; i < 5; ++i) hand.tap("key:erase");
    // A number far from what is usual is asked about, once.
    hand.keys("1500");
    hand.tap("primary");
    CHECK(hand.shows("Usual is"));
    hand.tap("question:no");
    CHECK(open_swap(hand.desk())->takes.empty());
}

TEST_CASE("undo takes back the last reading, and the one it replaced stands again") {
    Hand hand(glasses[0]);
    begin(hand);
    hand.tap("primary");
    read(hand, "tag:before:rear:ride_height_topped_out", "500");
    read(hand, "tag:before:rear:ride_height_topped_out", "501");
    auto stands = [&] {
        const Take* t = open_swap(hand.desk())->take({Phase::before, End::rear, Point::ride_height_topped_out});
        return t ? t->reading.repeats.front().text : std::string("nothing");
    };
    CHECK(stands() == "501");
    hand.press(Key::undo);
    CHECK(stands() == "500");
    hand.press(Key::undo);
    CHECK(stands() == "nothing");
}

TEST_CASE("inches, as typed: a fraction from the pad stays a fraction and counts as its millimetres") {
    Hand hand(glasses[0]);
    begin(hand);
    hand.tap("primary");
    hand.tap("tag:before:rear:ride_height_topped_out");
    hand.tap("key:unit");
    hand.gauge("19 11/16");
    const Take* take = open_swap(hand.desk())->take({Phase::before, End::rear, Point::ride_height_topped_out});
    REQUIRE(take);
    CHECK(take->reading.repeats.front().text == "19 11/16");
    CHECK(measured(take->reading).value == doctest::Approx(19.6875 * 25.4).epsilon(1e-12));
}

TEST_CASE("a reading in the file of another Restand that holds it: reading only, and it says so") {
    Hand hand(glasses[0]);
    begin(hand);
    Hand second(glasses[0], hand.file());
    CHECK(second.sheet().saved == "reading only");
    CHECK(second.shows("reading only"));
    CHECK(second.desk().ledger.bikes().size() == 1);
}

namespace {
// The end at which this swap asks for a point.
End end_in_hand(Hand& hand, Phase phase, Point point) {
    for (const Asked& a : asked(*open_swap(hand.desk()), phase))
        if (a.point == point) return a.end;
    return End::rear;
}

// A swap with its readings already on disk, quicker than by taps; the screens are then looked at by taps.
void read_all(Hand& hand, Phase phase, std::initializer_list<std::pair<Point, const char*>> readings) {
    for (const auto& [point, text] : readings) {
        hand.bench().act(act::OpenTag{{.of = Field::Of::reading, .phase = phase, .point = point, .end = end_in_hand(hand, phase, point)}});
        hand.bench().act(act::PadText{text});
        hand.bench().act(act::PadNext{});
        hand.look();
        if (hand.desk().pad && !hand.desk().pad->question.empty()) hand.tap("question:yes");
    }
    if (hand.desk().pad) hand.tap("key:close");
}

void give(Hand& hand, BikeField field, const char* text) {
    hand.bench().act(act::OpenTag{{.of = Field::Of::bike, .bike = field}});
    hand.bench().act(act::PadText{text});
    hand.bench().act(act::PadNext{});
    hand.look();
}
}  // namespace

// Heights along the fork (ratio 1): F = 2·9.5·(12 + 60) = 1368 with rider; tube 740 at position 6, so l = 734. The new
// tube is 752: position 752 − 734 = 18. New springs 9: 2·9·(p + 60) = 1368, p = 16; installed 300 − 16 = 284.
TEST_CASE("the front goes the same six steps: fork position and springs, and its correction") {
    Hand hand(glasses[0]);
    begin(hand);
    hand.tap("edit");
    give(hand, BikeField::front_leverage, "1");
    hand.tap("primary");
    hand.tap("swap:fork");
    CHECK(hand.sheet().slip.title == "Before: the old fork in");
    read_all(hand, Phase::before,
             {{Point::ride_height_topped_out, "560"}, {Point::ride_height_rider, "500"}, {Point::fork_position, "6"},
              {Point::fork_length, "740"}, {Point::spring_free_length, "300"}, {Point::spring_installed_length, "288"},
              {Point::spring_rate, "9.5"}});
    hand.tap("primary");
    read_all(hand, Phase::new_part,
             {{Point::fork_length, "752"}, {Point::fork_position, "6"}, {Point::travel, "120"}, {Point::spring_rate, "9"},
              {Point::spring_free_length, "300"}, {Point::spring_block_length, "120"},
              {Point::spring_installed_length, "290"}, {Point::collar_mm_per_turn, "1"}});
    hand.tap("primary");
    CHECK(hand.sheet().slip.title == "Set this on the new fork");
    CHECK(hand.shows("18.0"));
    CHECK(hand.shows("tubes up 12.0"));
    CHECK(hand.shows("284.0"));
    CHECK(hand.shows("6 turns in"));
    hand.tap("primary");
    // A number that belongs to another tag is asked about, and can be left again.
    hand.tap("primary");
    for (const char key : std::string("29")) hand.tap(std::string("key:") + key);
    hand.tap("primary");
    REQUIRE(hand.desk().pad.has_value());
    CHECK(hand.desk().pad->question.find("from what the answer says") != std::string::npos);
    hand.bench().act(act::CloseTag{});
    hand.look();
    read_all(hand, Phase::set, {{Point::fork_position, "18"}, {Point::spring_installed_length, "284"}});
    hand.tap("primary");
    read_all(hand, Phase::check, {{Point::ride_height_topped_out, "560"}, {Point::ride_height_rider, "492"}});
    CHECK(hand.shows("Not restored"));
    CHECK(hand.shows("fork position"));
    CHECK(hand.sheet().primary.label == "Set the correction");
    // 8 mm too low at a ratio of 1: 8 mm more preload, so springs 8 mm shorter, and that is what the set step says.
    hand.tap("primary");
    CHECK(hand.sheet().primary.label == "Set: spring, installed");
    hand.tap("primary");
    hand.bench().act(act::PadSame{});
    hand.look();
    REQUIRE(hand.desk().pad.has_value());
    CHECK(hand.desk().pad->entry == "276");
    hand.tap("primary");
    if (hand.desk().pad) hand.bench().act(act::CloseTag{}), hand.look();
    CHECK(hand.sheet().primary.label == "On to the check");
    hand.tap("primary");
    // Measured before it was set anew: not any more. The stop is where it was.
    CHECK_FALSE(hand.shows("Not restored"));
    CHECK(hand.sheet().primary.label == "Measure: ride height, rider");
    read_all(hand, Phase::check, {{Point::ride_height_rider, "500"}});
    CHECK(hand.shows("Restored"));
}

// A spring twice as stiff with more gas force wants less than no preload.
TEST_CASE("a spring that is too stiff: the answer names the limit and what cannot be held") {
    Hand hand(glasses[0]);
    begin(hand);
    hand.tap("swap:shock_spring");
    read_all(hand, Phase::before,
             {{Point::ride_height_topped_out, "500"}, {Point::ride_height_rider, "470"}, {Point::eye_to_eye, "310"},
              {Point::spring_free_length, "160"}, {Point::spring_installed_length, "152"}, {Point::spring_rate, "95"}});
    hand.tap("primary");
    read_all(hand, Phase::new_part, {{Point::spring_rate, "190"}, {Point::spring_free_length, "160"}});
    hand.tap("primary");
    CHECK(hand.shows("loose by"));
    CHECK(hand.sheet().primary.label == "Try another part");
}

TEST_CASE("a tyre's name typed in a fork swap is kept, and its tag opens again") {
    test::DemoHand hand("No. 8");
    const Bike* bike = test::bike_named(hand, "No. 8");
    if (const Swap* open = hand.desk().ledger.open_swap(bike->id)) test::go(hand, act::AbandonSwap{open->id});
    test::go(hand, act::StartSwap{bike->id, {SwapPart::fork_springs}});
    hand.tap("row:before:front:tyre");
    hand.gauge("soft");
    hand.press(Key::escape);
    hand.tap("row:before:front:tyre");
    REQUIRE(hand.desk().pad.has_value());
    CHECK(hand.desk().pad->field.point == Point::tyre);
    CHECK(hand.shows("soft"));
}
