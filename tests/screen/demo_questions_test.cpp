// Every value of the demo's season, typed on the app's own pad as the ledger stood then: the app asks about
// none of them, and refuses none. A number of the season that is not plausible fails here.

#include <doctest/doctest.h>

#include "app/app_state.h"
#include "app/workshop/bike_fields.h"
#include "tests/store/demo_season.h"

using namespace restand;
using restand::test::demo_season;

namespace {

// What the pad says to a value: its question, or why it refuses it.
std::string said_to(AppState& state, const Field& field, const Reading& reading) {
    act_on(state, act::OpenTag{field});
    REQUIRE(state.pad);
    state.pad->instrument = reading.instrument;
    for (std::size_t i = 0; i < reading.repeats.size(); ++i) {
        if (i > 0) act_on(state, act::PadRepeat{});
        state.pad->unit = reading.repeats[i].unit;
        act_on(state, act::PadText{reading.repeats[i].text});
    }
    act_on(state, act::PadNext{});
    // A pad that keeps its value goes on to another field.
    const bool stays = state.pad && state.pad->field == field;
    const std::string said = stays ? state.pad->question + state.pad->problem : "";
    state.pad.reset();
    state.pending.clear();
    state.effects.clear();
    state.waiting.clear();
    return said;
}

// Plays the season into `state`, and gives each value to `use` just before it was written.
template <class Use>
void replay(AppState& state, Use use) {
    for (const Entry& e : demo_season().entries) {
        const Fact* fact = demo_season().ledger.fact(e.id);
        state.who = e.by;
        state.bike = e.bike;
        state.swap = e.about;
        if (const auto* one = fact ? std::get_if<ReadingBody>(&fact->body) : nullptr) {
            const ReadAt at = read_at(*one, state.ledger.swap(e.about)->parts);
            use(e, field_of(at), one->reading, one->confirmed);
        }
        if (const auto* change = fact ? std::get_if<ChangeBody>(&fact->body) : nullptr)
            for (const SetValue& v : change->values)
                use(e, Field{.of = Field::Of::change, .point = v.reading.point, .end = v.end}, v.reading,
                    false);
        REQUIRE(read_into(state.ledger, {e}).empty());
    }
}

}  // namespace

TEST_CASE("demo: the pad asks about no value of the season, but where it was confirmed, and refuses none") {
    AppState state;
    int typed = 0;
    replay(state, [&](const Entry& e, const Field& field, const Reading& reading, bool confirmed) {
        const std::string said = said_to(state, field, reading);
        CHECK_MESSAGE(said.empty() != confirmed, demo_season().day(e.clock.ms)
                                                     << " " << facts(field.point).key << " "
                                                     << reading.repeats.back().text << ": " << said);
        ++typed;
    });
    CHECK(typed > 600);
}

TEST_CASE("demo: the pad does ask about a value that another one of the season is taken for") {
    AppState state;
    int asked = 0, all = 0;
    replay(state, [&](const Entry&, const Field& field, const Reading& reading, bool) {
        if (field.of != Field::Of::reading || !is_ride_height(field.point)) return;
        // The tape held at another mark, five centimetres off.
        Reading off = reading;
        off.repeats = {{print_fixed(measured(reading).value + 50, 1), Unit::mm}};
        const Baseline* last = state.ledger.newest_baseline(state.bike);
        if (!last || !last->value(field.end, field.point)) return;
        ++all;
        asked += !said_to(state, field, off).empty();
    });
    CHECK(all > 30);
    CHECK(asked == all);
}

TEST_CASE("demo: what is on the shelf and in a bike's description is within its usual range") {
    for (const ShelfItem* item : demo_season().ledger.shelf())
        for (const Reading& r : item->body.values) {
            const PointFacts& f = facts(r.point);
            if (is_text(r.point)) continue;
            CAPTURE(item->body.name);
            CHECK_MESSAGE(measured(r).value >= f.usual_min, f.key);
            CHECK_MESSAGE(measured(r).value <= f.usual_max, f.key);
        }
    int numbers = 0;
    for (const Bike* bike : demo_season().ledger.bikes(true))
        for (const BikeFieldFacts& f : bike_fields()) {
            const auto v = f.dimension == Dimension::text ? std::nullopt : number(bike->body, f.field);
            if (!v) continue;
            CHECK_MESSAGE(*v >= f.min, bike->body.name << " " << f.key);
            CHECK_MESSAGE(*v <= f.max, bike->body.name << " " << f.key);
            ++numbers;
        }
    CHECK(numbers > 40);
}
