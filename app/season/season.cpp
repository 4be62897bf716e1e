// The bike's set-up now and at an earlier entry, and the restore plan between the two.

#include "app/app_state.h"
#include "core/codec/body_json.h"

namespace restand {

SetUp setup_now(const AppState& state, const Id& bike) {
    return setup_at(bike, state.ledger.facts_of(bike));
}

SetUp setup_then(const AppState& state, const Entry& moment) {
    const auto fact = decode(moment);
    // A baseline holds its whole set-up, even a retracted baseline.
    if (fact && std::holds_alternative<BaselineBody>(fact->body))
        return setup_of({moment.id, moment.bike, moment.about, std::get<BaselineBody>(fact->body),
                         moment.clock, moment.by});
    // A record was never on the bike, or before the ledger: it is what it says, and no more.
    if (const auto* record = fact ? std::get_if<RecordBody>(&fact->body) : nullptr) {
        SetUp setup;
        setup.bike = moment.bike;
        setup.at = moment.clock;
        for (const SetValue& v : record->values)
            setup.values[{v.end, v.reading.point}] = {v.reading,    moment.id, moment.by,
                                                      moment.clock, {},        false};
        setup.read_with = setup.values;
        return setup;
    }
    return setup_at(moment.bike, state.ledger.facts_of(moment.bike), moment.clock);
}

std::optional<PlanShown> plan_shown(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return std::nullopt;
    PlanShown shown;
    shown.bike = bike->id;
    shown.open = state.ledger.open_plan(bike->id);
    shown.target = shown.open ? shown.open->target : state.season.target;
    const Fact* target = state.ledger.fact(shown.target);
    if (!target) return std::nullopt;
    shown.now = setup_now(state, bike->id);
    shown.then = setup_then(state, target->entry);
    shown.plan = restore_plan(bike->body, shown.now, shown.then, shown.open);
    return shown;
}

std::optional<double> expected_of(const AppState& state, const Field& field) {
    if (field.of != Field::Of::plan) return std::nullopt;
    const auto shown = plan_shown(state);
    if (!shown) return std::nullopt;
    if (const PlanAction* a = shown->plan.find(action_key(Doing::measure, field.end, field.point)))
        return a->expect;
    const auto check = shown->plan.checks.find(field.end);
    if (check == shown->plan.checks.end()) return std::nullopt;
    for (const HeightCheck& h : check->second.heights)
        if (ride_heights[static_cast<std::size_t>(h.state)] == field.point) return in_mm(h.before);
    return std::nullopt;
}

}  // namespace restand
