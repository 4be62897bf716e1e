// What is half done, kept as a draft and taken back at the next start.

#include "app/draft_keys.h"
#include "core/codec/body_json.h"
#include "core/files/file.h"
#include "tests/screen/state_kit.h"

using namespace restand;
using namespace restand::test;

TEST_CASE(
    "state: a number that was only looked at when the power went keeps all its digits; half typed it is "
    "there again") {
    Workshop w;
    const Id bike = w.state.ledger.bikes().front()->id;
    apply(w.state, act::EditBike{bike});
    const Field pitch{.of = Field::Of::bike, .bike = BikeField::chain_pitch};
    w.state.form->body.mechanism.chain_pitch = mm(15.8756);
    apply(w.state, act::OpenTag{pitch});
    CHECK(w.state.pad->entry == "15.876");
    const std::string looked_at = write_draft(draft_of(w.state));
    w.type("12.7");
    const std::string typed = write_draft(draft_of(w.state));
    AppState next;
    next.ledger = std::move(w.state.ledger);
    take_draft(next, *read_draft(looked_at));
    REQUIRE(next.form.has_value());
    CHECK_FALSE(next.pad.has_value());
    CHECK(next.form->body.mechanism.chain_pitch == mm(15.8756));
    take_draft(next, *read_draft(typed));
    REQUIRE(next.pad.has_value());
    CHECK(next.pad->field == pitch);
    CHECK(next.pad->entry == "12.7");
}

TEST_CASE("state: a draft of any screen gives the same desk back, and one that no longer fits is left out") {
    Workshop w;
    apply(w.state, act::OpenTag{before(Point::eye_to_eye)});
    w.type("30");
    apply(w.state, act::PadRepeat{});
    const Draft draft = draft_of(w.state);
    const auto again = read_draft(write_draft(draft));
    REQUIRE(again.has_value());
    CHECK(*again == draft);
    AppState other;
    const auto repeats = w.state.pad->repeats;
    other.ledger = std::move(w.state.ledger);
    take_draft(other, *again);
    CHECK(other.screen == Screen::swap);
    CHECK(other.pad.has_value());
    CHECK(other.pad->repeats == repeats);
    Draft lost = draft;
    lost.screen = "bike_form";
    AppState empty;
    take_draft(empty, lost);
    CHECK(empty.screen == Screen::bikes);
    CHECK_FALSE(empty.pad.has_value());
}

// Drafts as version 2 wrote them, with numbers for keys.
TEST_CASE("state: drafts of version 2 still say the screen, the field and the units they said") {
    const auto written = [](const char* name) {
        const auto bytes = read_file(RESTAND_SOURCE_DIR "/tests/fixtures/" + std::string(name), 1 << 16);
        REQUIRE(bytes.has_value());
        return *bytes;
    };
    const auto reading = read_draft(written("second_reading.draft"));
    REQUIRE(reading.has_value());
    CHECK(from_key<Screen>(reading->screen) == Screen::swap);
    CHECK(from_key<Screen>(reading->came_from) == Screen::bike);
    CHECK(reading->reason == "after the crash");
    CHECK(reading->folder == "/media/stick");
    REQUIRE(reading->pad.has_value());
    CHECK(from_key<Field::Of>(reading->pad->of) == Field::Of::reading);
    CHECK(from_key<Phase>(reading->pad->phase) == Phase::set);
    CHECK(from_key<Point>(reading->pad->point) == Point::spring_installed_length);
    CHECK(from_key<End>(reading->pad->end) == End::front);
    CHECK(reading->pad->unit == Unit::mm);
    CHECK(reading->pad->repeats == std::vector<Typed>{{"147.5", Unit::mm}, {"5.81", Unit::inch}});
    const auto bike = read_draft(written("second_bike.draft"));
    REQUIRE(bike.has_value());
    CHECK(from_key<Screen>(bike->screen) == Screen::bike_form);
    CHECK(from_key<Screen>(bike->came_from) == Screen::which_spring);
    REQUIRE(bike->pad.has_value());
    CHECK(from_key<Field::Of>(bike->pad->of) == Field::Of::bike);
    CHECK(from_key<BikeField>(bike->pad->bike_field) == BikeField::rpm);
    CHECK(from_key<Point>(bike->pad->point) == Point::fork_bore);
    CHECK(from_key<EventField>(bike->pad->event) == EventField::track);
    CHECK(from_key<PartField>(bike->pad->part) == PartField::used_h);
    CHECK(bike->pad->unit == Unit::one);
    CHECK(bike->form->half_pair_mm == 12.5);
}

TEST_CASE("state: whatever a draft names has a key of its own, never a number") {
    const auto each = [](auto last) {
        using E = decltype(last);
        for (int i = 0; i <= static_cast<int>(last); ++i) {
            const std::string_view name = key(static_cast<E>(i));
            CHECK(from_key<E>(name) == static_cast<E>(i));
            CHECK_FALSE((name.empty() || (name.front() >= '0' && name.front() <= '9')));
        }
        CHECK_FALSE(from_key<E>("no such thing").has_value());
        CHECK_FALSE(from_key<E>("").has_value());
        CHECK_FALSE(from_key<E>("999").has_value());
        CHECK_FALSE(from_key<E>("-1").has_value());
    };
    each(Screen::ready), each(Field::Of::job), each(JobField::taken), each(last_bike_field),
        each(EventField::track);
    each(PartField::used_h), each(End::front), each(Phase::check);
    for (const PointFacts& p : all_points()) CHECK(from_key<Point>(p.key) == p.point);
}

TEST_CASE("app: a draft whose page breaks an invariant is not taken") {
    Workshop w;
    apply(w.state, act::OpenTag{before(Point::eye_to_eye)});
    w.type("31");
    const Draft draft = draft_of(w.state);
    w.state.pad.reset();
    apply(w.state, act::Go{Screen::bikes, {}});
    CHECK_FALSE(take_draft_that_shows(w.state, draft, broken_swap_page));
    CHECK(w.state.screen == Screen::bikes);
    CHECK_FALSE(w.state.pad.has_value());
    CHECK(take_draft_that_shows(w.state, draft));
    CHECK(w.state.pad.has_value());
}
