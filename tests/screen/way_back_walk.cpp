// The way back, by taps: what a step shows and records, what was moved and not read again, what the pad asks
// at its end, and what is said of heights that are not those of then.

#include <doctest/doctest.h>

#include <algorithm>

#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/wording.h"
#include "tests/screen/answered.h"
#include "tests/unit/ledger_kit.h"

using namespace restand;
using namespace restand::test;

namespace {

using P = Point;

// A way back of the demo's bike to its nth newest baseline, begun, with no swap open.
struct WayBack : DemoHand {
    explicit WayBack(std::size_t nth) {
        const Id bike = state().bike;
        set_swap_aside(*this);
        go(*this, act::Go{Screen::history, bike});
        tap("kind:1");
        go(*this, act::ShowPlan{bike, state().season.moments.at(nth).id});
        tap("primary");
        REQUIRE(state().ledger.open_plan(bike) != nullptr);
    }
    bool left() { return page().panel.title.find(" to do") != std::string::npos; }
    const row::PlanStep* step(const std::string& key) {
        for (const Row& r : page().panel.rows)
            if (const auto* one = std::get_if<row::PlanStep>(&r); one && one->id == "do:" + key) return one;
        return nullptr;
    }
    const row::PlanStep& next() {
        for (const Row& r : page().panel.rows)
            if (const auto* one = std::get_if<row::PlanStep>(&r); one && one->next) return *one;
        FAIL("no next step");
        throw 0;
    }
    // Does what is next, the slack read as it is to be, until the pad of a height is open or nothing is left.
    void to_pad() {
        for (int i = 0; i < 40 && left(); ++i) {
            if (state().pad && state().pad->field.point != P::chain_slack) return;
            if (!state().pad) tap("primary");
            if (state().pad && state().pad->field.point == P::chain_slack)
                type_repeats(*this, print_fixed(*expected_of(state(), state().pad->field), 1), 1);
        }
    }
    // Everything, with each height read five times, `off` from where it is expected.
    void walk(double off) {
        for (int i = 0; i < 40 && left(); ++i) {
            to_pad();
            if (!state().pad) return;
            const Field field = state().pad->field;
            const double to_be = *expected_of(state(), field);
            type_repeats(*this, print_fixed(to_be + (is_ride_height(field.point) ? off : 0), 1),
                         is_ride_height(field.point) ? 5 : 1);
        }
    }
};

// "to 305.1 mm" says 305.1 mm, and neither 5.1 mm nor 305.12 mm.
bool says(const std::string& step, const Reading& recorded) {
    return (" " + step + " ").find(" " + wording::reading(recorded) + " ") != std::string::npos;
}

std::string in_unit(double millimetres, Unit unit) {
    return print_fixed(from_canonical(millimetres, unit), unit == Unit::mm ? 2 : 4);
}
void put_length(SetUp& setup, End end, P point, double millimetres, Unit unit) {
    put(setup, end, test::reading(point, in_unit(millimetres, unit), unit));
}

// Both ends of a bike, every length typed in `unit`. `of_then`: read twice, and all set otherwise.
SetUp whole_setup(Unit unit, bool of_then) {
    SetUp s;
    const auto length = [&](End end, P point, double is) { put_length(s, end, point, is, unit); };
    for (const End end : {End::rear, End::front}) {
        const double top = end == End::rear ? 500.3 : 620.4;
        length(end, P::ride_height_topped_out, top);
        length(end, P::ride_height_static, top - 11.2);
        length(end, P::ride_height_rider, top - 33.7);
        put(s, end, test::reading(P::spring_rate, end == End::rear ? "95" : "9.5"));
        length(end, P::spring_free_length, end == End::rear ? 160.3 : 255.2);
        length(end, P::spring_installed_length, (end == End::rear ? 150.4 : 240.6) + (of_then ? 0 : 2.3));
        put(s, end, test::reading(P::clicks_rebound_low, of_then ? "12" : "9"));
        put(s, end, test::reading(P::tyre_pressure_cold, of_then ? "1.95" : "2.2"));
        put(s, end, test::reading(P::part_name, "A"));
    }
    length(End::rear, P::eye_to_eye, of_then ? 310.2 : 307.9);
    length(End::rear, P::eye_to_eye_min, 300);
    length(End::rear, P::eye_to_eye_max, 320);
    put(s, End::rear, test::reading(P::gas_force, "150"));
    length(End::front, P::fork_length, 745);
    length(End::front, P::fork_position, of_then ? 6.3 : 9.1);
    length(End::rear, P::axle_position, of_then ? 24.6 : 22.3);
    length(End::rear, P::chain_slack, of_then ? 31.4 : 36.2);
    put(s, End::rear, test::reading(P::sprocket_rear, of_then ? "43" : "45"));
    put(s, End::rear, test::reading(P::chain_links, of_then ? "114" : "116"));
    put(s, End::rear, test::reading(P::tyre, of_then ? "rain" : "slick, soft"));
    if (of_then)  // two readings say together what neither says
        for (const auto& [end, point] : {std::pair{End::rear, P::axle_position},
                                         {End::rear, P::eye_to_eye},
                                         {End::front, P::fork_position}})
            s.values[{end, point}].reading.repeats.push_back(
                {in_unit(value_at(s, end, point) + 0.1, unit), unit});
    s.read_with = s.values;
    return s;
}

}  // namespace

TEST_CASE("way back: every kind of step records what it shows, in millimetres and in inches") {
    BikeBody bike;
    bike.rear.leverage = 2.0;
    bike.front.leverage = 0.95;
    for (const Unit unit : {Unit::mm, Unit::inch})
        for (const bool same_spring : {true, false})
            for (const bool thread : {true, false}) {
                const SetUp then = whole_setup(unit, true);
                SetUp now = whole_setup(unit, false);
                if (thread) {
                    put(now, End::rear, test::reading(P::length_mm_per_turn, "1.25"));
                    for (const End end : {End::rear, End::front})
                        put(now, end, test::reading(P::collar_mm_per_turn, "1.5"));
                }
                if (!same_spring) {
                    put(now, End::rear, test::reading(P::spring_rate, "101"));
                    put(now, End::front, test::reading(P::spring_rate, "10.2"));
                }
                std::set<Doing> kinds;
                // Until nothing but readings is left, as a person goes through it.
                RestorePlan walked;
                for (int i = 0; i < 40; ++i) {
                    const PlanActions plan = restore_plan(bike, now, then, &walked);
                    REQUIRE(plan.unsaid.empty());
                    const PlanAction& a = plan.actions.front();
                    if (a.doing == Doing::measure) break;
                    kinds.insert(a.doing);
                    const std::string step = wording::action(a, {.length = unit});
                    INFO(step);
                    const auto values = done(a);
                    REQUIRE(values.size() == 1);
                    INFO(values[0].reading.repeats[0].text);
                    CHECK(says(step, values[0].reading));
                    // No finer than every page shows it.
                    const Reading& set = values[0].reading;
                    if (!is_text(a.point)) {
                        const Unit typed = set.repeats[0].unit;
                        const double shown = std::stod(
                            print_fixed(from_canonical(measured(set).value, typed), usual_decimals(typed)));
                        if (a.solved || then.stored(a.end, a.point)->reading.repeats.size() > 1)
                            CHECK(typed_value(set.repeats[0]) == doctest::Approx(shown).epsilon(1e-12));
                    }
                    // Nothing is asked for twice.
                    for (const PlanStep& before : walked.steps) CHECK(before.action != a.key);
                    for (const SetValue& v : values) put(now, v.end, v.reading);
                    walked.steps.push_back({{}, {}, 0, a.key, values});
                    REQUIRE(i < 39);
                }
                for (const Doing kind :
                     {Doing::fit, Doing::set_length, Doing::set_preload, Doing::set_position, Doing::set_axle,
                      Doing::set_slack, Doing::set_clicks, Doing::set_pressure})
                    CHECK_MESSAGE(kinds.contains(kind), key(kind));
            }
}

TEST_CASE("way back: what is done is recorded as the step said it") {
    WayBack driver(3);
    int solved = 0, steps = 0;
    while (driver.left()) {
        const std::string step = driver.next().label;
        if (driver.next().id.ends_with("chain_slack")) {  // read, not said
            driver.tap("primary");
            REQUIRE(driver.state().pad);
            type_repeats(driver, print_fixed(*expected_of(driver.state(), driver.state().pad->field), 1), 1);
            continue;
        }
        solved += driver.next().detail.find("from the heights read") != std::string::npos;
        driver.tap("primary");
        if (driver.state().pad) break;
        const RestorePlan* plan = driver.state().ledger.open_plan(driver.state().bike);
        REQUIRE(plan);
        for (const SetValue& v : plan->steps.back().values) {
            INFO(step << " recorded as " << wording::reading(v.reading));
            CHECK(says(step, v.reading));
        }
        ++steps;
    }
    CHECK(solved >= 1);
    CHECK(steps >= 10);
}

TEST_CASE("way back: a slack that a step has moved is expected, not read") {
    WayBack driver(3);
    const std::string slack = "set_slack:rear:chain_slack";
    // As long as nothing has moved it, it is what was read.
    CHECK(driver.step(slack)->detail == "now 31 mm");
    for (int i = 0; i < 20 && driver.next().id != "do:" + slack; ++i) driver.tap("primary");
    REQUIRE(driver.next().id == "do:" + slack);
    CHECK(driver.next().detail.find("now 31 mm") == std::string::npos);
    CHECK(driver.next().detail.starts_with("expected now "));
    const auto& tags = driver.page().drawing.tags;
    const auto tag =
        std::find_if(tags.begin(), tags.end(), [](const Tag& t) { return t.id == "tag:rear:chain_slack"; });
    REQUIRE(tag != tags.end());
    CHECK(tag->note.starts_with("expected"));
    CHECK(tag->value != "31");
    // Set, it is a reading again.
    driver.tap("primary");
    const SetUp now = setup_now(driver.state().ledger, driver.state().bike);
    CHECK_FALSE(is_computed(now.stored(End::rear, P::chain_slack)->reading));
}

TEST_CASE("way back: a height that is off asks at its end what the check of a swap asks") {
    const auto question = [](Driver& driver, double height) {
        driver.keys(print_fixed(height, 1));
        driver.tap("primary");
        REQUIRE(driver.state().pad);
        const std::string asked = driver.state().pad->question;
        if (!asked.empty()) driver.tap("question:no");
        while (driver.state().pad && !driver.state().pad->entry.empty()) driver.tap("key:erase");
        return asked;
    };
    Answered swap;
    swap.set_as_answered();
    swap.tap("row:check:rear:ride_height_static");
    const std::string at_check = question(swap, 490 - 5.6);
    CHECK(at_check.starts_with("−5.6 mm from what is expected."));

    WayBack driver(3);
    driver.to_pad();
    for (const P height : ride_heights) {
        REQUIRE(driver.state().pad);
        REQUIRE(driver.state().pad->field.point == height);
        const double to_be = *expected_of(driver.state(), driver.state().pad->field);
        CHECK(question(driver, to_be - 5.6) == at_check);
        // Near what is expected nothing is asked.
        type_repeats(driver, print_fixed(to_be + 0.3, 1), 1);
        REQUIRE((!driver.state().pad || driver.state().pad->question.empty()));
        if (!driver.state().pad) driver.tap("primary");
    }
    // Topped out read so low that static stands next to it: did the wheel hang?
    WayBack low(3);
    low.to_pad();
    const double top = *expected_of(low.state(), low.state().pad->field);
    REQUIRE(low.state().pad->field.point == P::ride_height_topped_out);
    type_repeats(low, print_fixed(top - 7, 1), 1);  // and 'yes'
    low.to_pad();
    const double still = *expected_of(low.state(), low.state().pad->field);
    REQUIRE(top - 7 - still < 3);
    CHECK(question(low, still).find("Did it hang?") != std::string::npos);
}

TEST_CASE("way back: heights that are not as then are said to be measured and not restored") {
    WayBack driver(3);
    const Id bike = driver.state().bike;
    driver.walk(-7);
    CHECK(driver.page().panel.title == "It does not stand as then");
    CHECK(driver.shows("Measured"));
    driver.tap("leave");
    REQUIRE(driver.state().notice);
    CHECK(driver.state().notice->text.find("not restored") != std::string::npos);
    driver.tap("history");
    CHECK(driver.shows("not restored · back to"));
    const auto way = std::find_if(driver.state().season.moments.begin(), driver.state().season.moments.end(),
                                  [](const Entry& e) { return e.kind == "way"; });
    REQUIRE(way != driver.state().season.moments.end());
    go(driver, act::OpenMoment{way->id});
    const auto& lines = driver.page().table->lines;
    CHECK(lines.at(0).cells.at(0).find("not restored · ") != std::string::npos);
    CHECK(lines.at(1).cells.at(0).starts_with("Heights as measured, not restored: "));
    // The next swap takes them over, and says what they are; those that were kept are kept.
    for (const bool again : {false, true}) {
        if (again) driver.start();  // how the way ended is looked up
        CAPTURE(again);
        go(driver, act::Go{Screen::bike, bike});
        go(driver, act::StartSwap{bike, {SwapPart::shock_spring, SwapPart::fork_springs}});
        std::map<std::string, std::string> notes;
        for (const Tag& tag : driver.page().drawing.tags) notes[tag.id] = tag.note;
        CHECK(notes["tag:before:rear:ride_height_rider"].find("not restored") != std::string::npos);
        CHECK(notes["tag:before:rear:ride_height_rider"].find("kept") == std::string::npos);
        go(driver, act::GoToStep{Step6::new_part});
        read_all(driver, {{"new_part:rear:spring_rate", "105"}, {"new_part:front:spring_rate", "10.5"}});
        go(driver, act::GoToStep{Step6::answer});
        const auto note = [&driver](const std::string& begins) {
            for (const Row& r : driver.page().panel.rows)
                if (const auto* one = std::get_if<row::Note>(&r); one && one->text.starts_with(begins))
                    return one->text;
            return std::string();
        };
        CHECK(note("As measured at a way back that was not restored, ").find("ride height, rider") !=
              std::string::npos);
        CHECK(note("As kept, ").find("spring") != std::string::npos);
        go(driver, act::AbandonSwap{driver.state().ledger.open_swap(bike)->id});
    }
}

TEST_CASE("way back: a gauge's number with no tag open is not lost without a word") {
    WayBack driver(3);
    REQUIRE_FALSE(driver.state().pad);
    driver.gauge("307.2");
    REQUIRE(driver.state().notice);
    CHECK(driver.state().notice->text.find("nothing is open for it") != std::string::npos);
}

TEST_CASE("way back: the chain's slack is read where it is set, and stays as it was read") {
    DemoHand driver;
    const Id bike = driver.state().bike;
    set_swap_aside(driver);
    const auto type_slack = [&](const Field& field, const char* number) {
        if (!driver.state().pad) go(driver, act::OpenTag{field});
        driver.keys(number);
        driver.tap("primary");
        if (driver.state().pad && !driver.state().pad->question.empty()) driver.tap("question:yes");
        while (driver.state().pad) driver.tap("key:close");
    };
    type_slack({.of = Field::Of::change, .point = P::chain_slack, .end = End::rear}, "55");
    go(driver, act::ShowPlan{bike, driver.state().ledger.newest_baseline(bike)->id});
    driver.tap("primary");
    CHECK(driver.page().primary.label == "Measure: chain slack");
    driver.tap("primary");
    REQUIRE(driver.state().pad);
    CHECK(driver.state().pad->field.point == P::chain_slack);
    CHECK(driver.page().pad->last_label.starts_with("expect 31"));
    type_slack({}, "45");
    CHECK(now_at(driver, End::rear, P::chain_slack) == 45);
    // Not there yet: the step stays until it is read to be.
    CHECK(driver.page().primary.label == "Measure: chain slack");
    driver.tap("primary");
    type_slack({}, "31");
    CHECK(now_at(driver, End::rear, P::chain_slack) == 31);
    CHECK(driver.page().panel.title.find(" to do") == std::string::npos);
}

TEST_CASE("pad: a slack that is only expected gives its pad neither its tool nor its place") {
    DemoHand driver;
    const Id bike = driver.state().bike;
    set_swap_aside(driver);
    go(driver, act::StartChange{bike});
    driver.tap("change:rear:axle_position:more");
    go(driver, act::StartSwap{bike, {SwapPart::shock_spring}});
    go(driver, act::GoToStep{Step6::new_part});
    read_all(driver, {{"new_part:rear:spring_rate", "100"}, {"new_part:rear:spring_free_length", "160"}});
    go(driver, act::GoToStep{Step6::set});
    while (needed_field(driver.state())) type_needed(driver);
    go(driver, act::GoToStep{Step6::keep});
    driver.tap("primary");
    REQUIRE(is_computed(
        driver.state().ledger.newest_baseline(bike)->value(End::rear, P::chain_slack)->stored.reading));
    go(driver, act::StartSwap{bike, {SwapPart::sprockets}});
    go(driver, act::OpenTag{field_of({Phase::before, End::rear, P::chain_slack})});
    REQUIRE(driver.state().pad);
    CHECK(driver.state().pad->where != "computed");
    driver.keys("32");
    driver.tap("primary");
    if (driver.state().pad && !driver.state().pad->question.empty()) driver.tap("question:yes");
    const StoredReading* read = open_swap(driver.state())->stored({Phase::before, End::rear, P::chain_slack});
    REQUIRE(read);
    CHECK_FALSE(is_computed(read->reading));
    CHECK_FALSE(read->reading.instrument == Instrument{});
}
