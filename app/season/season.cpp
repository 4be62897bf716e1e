// The bike's set-up now and at an earlier entry, and the restore plan between the two.

#include <algorithm>

#include "app/app_state.h"
#include "core/codec/body_json.h"
#include "core/ledger/change_effect.h"
#include "core/ledger/chassis.h"
#include "core/ledger/setup_then.h"

namespace restand {

SetUp setup_then(const Ledger& ledger, const Entry& moment) {
    const auto fact = decode(moment);
    return fact ? setup_then(ledger, *fact)
                : setup_at(moment.bike, ledger.facts_of(moment.bike), moment.clock);
}

const PlanShown* PlanSolver::shown(const Ledger& ledger, const Bike& bike, const Id& target) {
    const Fact* fact = ledger.fact(target);
    if (!fact) return nullptr;
    if (shown_ && revision_ == ledger.revision() && shown_->bike == bike.id && shown_->target == target)
        return &*shown_;
    PlanShown made;
    made.bike = bike.id;
    made.target = target;
    made.open = ledger.open_plan(bike.id);
    const SetUp now = setup_now(ledger, bike.id);
    made.stands = expected_now(ledger, bike, now);
    made.then = setup_then(ledger, *fact);
    made.plan = restore_plan(bike.body, now, made.then, made.open);
    ++plans_made_;
    revision_ = ledger.revision();
    shown_ = std::move(made);
    return &*shown_;
}

const PlanShown* plan_shown(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return nullptr;
    const RestorePlan* open = state.ledger.open_plan(bike->id);
    return state.plan_solver->shown(state.ledger, *bike, open ? open->target : state.season.target);
}

namespace {
// Of what is read on the bike as it stands, where a setting has moved it since it was read.
std::optional<double> expected_as_it_stands(const AppState& state, const Field& field) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike || !is_only_read(field.point)) return std::nullopt;
    const SetUp stands = expected_now(state.ledger, *bike);
    const StoredReading* now = stands.stored(field.end, field.point);
    return now && is_computed(now->reading) ? std::optional(measured(now->reading).value) : std::nullopt;
}
}  // namespace

std::optional<double> expected_of(const AppState& state, const Field& field) {
    if (field.of == Field::Of::change) return expected_as_it_stands(state, field);
    if (field.of == Field::Of::reading && field.phase == Phase::check) {
        const SolvedSwap* solved = solved_swap(state);
        const auto to_read = solved ? solved->to_read(field.end, field.point) : std::nullopt;
        return to_read ? std::optional(in_mm(*to_read)) : std::nullopt;
    }
    if (field.of != Field::Of::plan) return std::nullopt;
    const PlanShown* shown = plan_shown(state);
    if (!shown) return std::nullopt;
    if (const PlanAction* a = shown->plan.find(action_key(Doing::measure, field.end, field.point)))
        return a->expect;
    if (const PlanAction* a = shown->plan.find(action_key(Doing::set_slack, field.end, field.point)))
        return a->to ? std::optional(canonical_value(*a->to)) : std::nullopt;
    const auto check = shown->plan.checks.find(field.end);
    if (check == shown->plan.checks.end()) return std::nullopt;
    for (const HeightCheck& h : check->second.heights)
        if (h.state == height_state(field.point)) return in_mm(h.before);
    return std::nullopt;
}

void put_expected_slack(const AppState& state, const Id& bike_id, BaselineBody& body) {
    const Bike* bike = state.ledger.bike(bike_id);
    const auto is_slack = [](const BaselineValue& v) { return v.stored.reading.point == Point::chain_slack; };
    const auto at = std::find_if(body.values.begin(), body.values.end(), is_slack);
    if (!bike || at == body.values.end()) return;
    const SetUp now = setup_now(state.ledger, bike_id);
    if (!slack_moved(bike->body, now)) return;
    const SetUp stands = expected_now(state.ledger, *bike, now);
    const StoredReading* expected = stands.stored(End::rear, Point::chain_slack);
    if (!expected) return void(body.values.erase(at));
    const Id swap = at->stored.swap;  // whose slack it was: a new chain's is still to be read
    at->stored = *expected;
    at->stored.swap = swap;
    at->stored.by = state.who;
    at->stored.at = {state.now_ms, 0};
}

}  // namespace restand
