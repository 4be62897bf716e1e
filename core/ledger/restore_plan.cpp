// The plan from the current set-up to the target. A setting is copied if its meaning is equal, else solved.
//
// The list is made again after every step, from the set-up at that time. So it must not depend on which steps
// were done before. The only exception: the recorded steps tell what was moved and is not measured yet.
//
//   setting belongs to       copied if                 else
//   the bike                 it differs                –
//   the damper (clicks)      the same damper is in     not listed: clicks do not apply to another damper
//   damper and spring        both are the same         solved: restore.h, the target's heights, the current
//                                                      unit, with the target's settings of the bike

#include "core/ledger/restore_plan.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/ledger/chassis.h"
#include "core/ledger/fitted_unit.h"
#include "core/ledger/plan_heights.h"
#include "core/ledger/plan_moved.h"
#include "core/ledger/plan_values.h"
#include "core/ledger/reading_at_fault.h"
#include "core/ledger/same_parts.h"
#include "core/ledger/swap_solution.h"

namespace restand {
namespace {

using P = Point;

// What a setting belongs to.
enum class Of { bike, damper, spring };

// The settings that are copied, and how each is done, in the order of work.
struct Copied {
    Point point;
    Doing doing;
    Of of;
};
constexpr std::array copied = {
    Copied{P::sprocket_front, Doing::fit, Of::bike},
    Copied{P::sprocket_rear, Doing::fit, Of::bike},
    Copied{P::chain_links, Doing::fit, Of::bike},
    Copied{P::tyre, Doing::fit, Of::bike},
    Copied{P::link_rod, Doing::fit, Of::bike},
    Copied{P::fitted_mass, Doing::fit, Of::bike},
    Copied{P::fork_oil_level, Doing::fit, Of::damper},
    Copied{P::eye_to_eye, Doing::set_length, Of::spring},
    Copied{P::spring_installed_length, Doing::set_preload, Of::spring},
    Copied{P::fork_position, Doing::set_position, Of::spring},
    Copied{P::axle_position, Doing::set_axle, Of::bike},
    Copied{P::chain_slack, Doing::set_slack, Of::bike},
    Copied{P::clicks_compression_low, Doing::set_clicks, Of::damper},
    Copied{P::clicks_compression_high, Doing::set_clicks, Of::damper},
    Copied{P::clicks_rebound_low, Doing::set_clicks, Of::damper},
    Copied{P::clicks_rebound_high, Doing::set_clicks, Of::damper},
    Copied{P::tyre_pressure_cold, Doing::set_pressure, Of::bike},
};

// What makes a spring, its setting apart; its rate first.
constexpr std::array of_spring = {P::spring_rate,    P::spring_free_length, P::spring_block_length,
                                  P::helper_rate,    P::helper_free_length, P::helper_block_length,
                                  P::other_leg_rate, P::end_rate,           P::rate_rises_from,
                                  P::rate_rises_to};

class Maker {
public:
    Maker(const BikeBody& bike, const SetUp& now, const SetUp& then) : bike_(bike), now_(now), then_(then) {}

    PlanActions make(const RestorePlan* walked) {
        if (walked) note(*walked);
        for (const End end : {End::rear, End::front}) {
            const bool damper = same_damper(end, now_, then_),
                       spring = damper && same_spring(end, now_, then_);
            for (const Copied& c : copied)
                if (c.of == Of::bike || (c.of == Of::damper ? damper : spring)) copy(end, c);
            if (!spring) solve(end, damper), plan_.parts_of_then = false;
            if (!spring && damper) refit(end);
            leave_out(end, damper);
        }
        for (const PlanAction& a : plan_.actions) moved_.note(a.key, a.end, a.point);
        chain_after_parts();
        std::stable_sort(plan_.actions.begin(), plan_.actions.end(),
                         [](const PlanAction& a, const PlanAction& b) { return rank(a) < rank(b); });
        measure();
        return std::move(plan_);
    }

private:
    static int rank(const PlanAction& a) {
        constexpr std::array order = {Doing::fit,          Doing::set_length,   Doing::set_preload,
                                      Doing::set_position, Doing::set_axle,     Doing::set_slack,
                                      Doing::set_clicks,   Doing::set_pressure, Doing::measure};
        return static_cast<int>(std::find(order.begin(), order.end(), a.doing) - order.begin());
    }

    // nullptr: not read, or moved since, as the chain's slack is by the axle.
    const StoredReading* read_now(End end, Point point) const {
        const StoredReading* stored = now_.stored(end, point);
        const bool moved = point == P::chain_slack && slack_moved(bike_, now_);
        return stored && !moved && !is_computed(stored->reading) ? stored : nullptr;
    }

    void add(End end, Doing doing, Point point, Typed to, bool solved) {
        PlanAction a;
        a.key = action_key(doing, end, point);
        a.doing = doing;
        a.end = end;
        a.point = point;
        const StoredReading* from = read_now(end, point);
        if (from) a.from = *from;
        a.solved = solved;
        if (from && !is_text(point)) {
            const double was = value_of(*from), is = canonical_value(to);
            if (doing == Doing::set_length || doing == Doing::set_preload)
                a.turns = turns_between(now_, end, point, was, is);
            if (doing == Doing::set_clicks) a.clicks = is - was;
            if (point == P::chain_links) a.links = static_cast<int>(std::lround(is - was));
        }
        a.to = std::move(to);
        plan_.actions.push_back(std::move(a));
    }

    void copy(End end, const Copied& c) {
        if (c.doing == Doing::set_preload) return copy_preload(end, c);
        const StoredReading* wanted = then_.stored(end, c.point);
        if (!wanted || stands_as_then(end, *wanted) || is_measured_slack(*wanted)) return;
        add(end, c.doing, c.point, as_typed(wanted->reading), false);
        // A tank comes with where it sits.
        const StoredReading* ahead = then_.stored(end, P::fitted_mass_ahead);
        if (c.point == P::fitted_mass && ahead)
            plan_.actions.back().brings = {{end, wanted->reading}, {end, ahead->reading}};
    }

    // Measured on this way, slack is judged as a check judges it, and not set for what that leaves.
    bool is_measured_slack(const StoredReading& wanted) const {
        const StoredReading* is = read_now(End::rear, P::chain_slack);
        return is && wanted.reading.point == P::chain_slack && moved_.measured(End::rear, P::chain_slack) &&
               std::fabs(value_of(*is) - value_of(wanted)) <= in_mm(slack_tolerance);
    }

    // As it was read then, or as the list says it.
    bool stands_as_then(End end, const StoredReading& wanted) const {
        const StoredReading* stands = now_.stored(end, wanted.reading.point);
        if (!stands) return false;
        Reading said = wanted.reading;
        said.repeats = {as_typed(said)};
        return same_value(stands->reading, wanted.reading) || same_value(stands->reading, said);
    }

    // The preload of then, in the form in which the spring is known now. Of a spring whose own length nobody
    // knows an installed length says nothing.
    void copy_preload(End end, const Copied& c) {
        const StoredReading* wanted = then_.stored(end, c.point);
        const auto of = [end](const SetUp& s) {
            return preload_of([&s, end](P point) { return s.number(end, point); });
        };
        const auto was = of(then_), is = of(now_);
        const bool by_length = now_.stored(end, P::spring_free_length) != nullptr;
        if (wanted && (by_length || !was)) {
            if (!stands_as_then(end, *wanted)) add(end, c.doing, c.point, as_typed(wanted->reading), false);
            return;
        }
        const Point at = by_length ? c.point : P::spring_preload;
        const Unit unit = unit_of(end, at);
        if (!was || (is && shown_alike(was->value, is->value, unit))) return;
        const Length free = now_.length(end, P::spring_free_length).value_or(mm(0)) +
                            now_.length(end, P::helper_free_length).value_or(mm(0));
        add(end, c.doing, at, typed_as_shown((by_length ? free - *was : *was).value, unit), false);
    }

    // A length that was worked out. Set on this way it stands as it was shown, and stays.
    void add_solved(End end, Doing doing, Point at, double to) {
        const StoredReading* stands = now_.stored(end, at);
        const Unit unit = unit_of(end, at);
        if (stands && (was_set(end, at) || shown_alike(to, value_of(*stands), unit))) return;
        add(end, doing, at, typed_as_shown(to, unit), true);
    }
    bool was_set(End end, Point at) const {
        const auto done = set_.find({end, at});
        const StoredReading* stands = now_.stored(end, at);
        return done != set_.end() && stands && same_value(stands->reading, done->second);
    }

    bool listed(End end, Point point) const {
        return std::any_of(plan_.actions.begin(), plan_.actions.end(),
                           [&](const PlanAction& a) { return a.end == end && a.point == point; });
    }

    // The axle is moved for another sprocket or chain, so earlier readings of axle and slack no longer hold.
    void chain_after_parts() {
        if (!moved_.refit) return;
        for (const auto& [point, doing] :
             {std::pair{P::axle_position, Doing::set_axle}, std::pair{P::chain_slack, Doing::set_slack}}) {
            const StoredReading* wanted = then_.stored(End::rear, point);
            if (point == P::chain_slack && moved_.measured(End::rear, point)) continue;  // judged
            if (wanted && !listed(End::rear, point) &&
                !moved_.since.contains(action_key(doing, End::rear, point)))
                add(End::rear, doing, point, as_typed(wanted->reading), false);
        }
    }

    // Another unit or spring: finds its settings so that the bike stands as in the target.
    void solve(End end, bool damper) {
        if (measured_since(end)) return;  // the readings are judged, and no setting follows from them
        SetUp fitted = now_;
        for (const Copied& c : copied)
            if (const StoredReading* was = then_.stored(end, c.point);
                was && (c.of == Of::bike || (damper && c.of == Of::damper)))
                fitted.values[{end, c.point}] = *was;
        const auto as_case = case_of(bike_, end, then_, fitted);
        if (!as_case) return unsaid(end, as_case.error());
        const auto checked = heights_as_read(bike_, end, then_, now_, fitted);
        const auto solved = [&checked](const SwapCase& c) {
            return checked ? correct(c, *checked) : restore(c);
        };
        const auto answer = solved(*as_case);
        if (!answer) return unsaid(end, answer.error());
        if (checked && !moved_since_read(now_, end) && stands_as(*checked, *as_case, answer->hold)) return;
        plan_.held = plan_.held && answer->held && comes_back(*answer, as_case->tolerance);
        for (const Limit& limit : answer->limits) plan_.limits.push_back({limit, end});
        // Of a spring known by its preload alone no length can be said.
        const bool by_length = now_.stored(end, P::spring_free_length) != nullptr;
        const Point at = by_length ? P::spring_installed_length : P::spring_preload;
        // What was set on this way was rounded as it was shown. It stays, and the rest is found for it.
        SwapCase left = *as_case;
        for (const auto& [point, adjuster] :
             {std::pair{length_point(end), &left.length}, std::pair{at, &left.installed}})
            if (was_set(end, point)) adjuster->min = adjuster->max = adjuster->now;
        const auto rest = solved(left);
        const Setting& to = (rest ? *rest : *answer).detent;
        const std::size_t before = plan_.actions.size();
        set_length(end, *as_case, to.length);
        add_solved(end, Doing::set_preload, at, (by_length ? to.installed_length : to.preload).value);
        for (std::size_t i = before; i < plan_.actions.size(); ++i)
            plan_.actions[i].as_read = checked.has_value();
    }

    // The other route: the spring of then goes in again.
    void refit(End end) {
        const StoredReading* rate = then_.stored(end, P::spring_rate);
        // What is in now and was not then, such as a helper, would stay.
        const bool lacks = std::any_of(of_spring.begin(), of_spring.end(),
                                       [&](P p) { return now_.stored(end, p) && !then_.stored(end, p); });
        if (!rate || lacks) return;
        PlanAction a;
        a.key = action_key(Doing::fit, end, P::spring_rate);
        a.doing = Doing::fit;
        a.end = end;
        a.point = P::spring_rate;
        if (const StoredReading* from = now_.stored(end, P::spring_rate)) a.from = *from;
        a.to = as_typed(rate->reading);
        for (const P p : of_spring)
            if (const StoredReading* of_then = then_.stored(end, p))
                a.brings.push_back({end, of_then->reading});
        plan_.refits.push_back(std::move(a));
    }

    // True if every height read in the target comes back within tolerance at settings rounded to their steps.
    static bool comes_back(const Answer& answer, Length tolerance) {
        return std::all_of(all_states.begin(), all_states.end(), [&](State s) {
            const auto off = answer.predicted_detent.residual_at(s);
            return off ? abs(*off) <= tolerance : !answer.before.at(s);
        });
    }

    void set_length(End end, const SwapCase& c, Length to) {
        if (c.length.min == c.length.max) return;
        const Point at = length_point(end);
        const StoredReading* stands = now_.stored(end, at);
        const double longer = (to - c.length.now).value;
        // Tubes further up make the front shorter. A position not read now is the target's, as in the case.
        const StoredReading* position = stands ? stands : then_.stored(end, at);
        if (!position) return;
        if (end == End::rear) return add_solved(end, Doing::set_length, at, to.value);
        add_solved(end, Doing::set_position, at, value_of(*position) - longer);
    }

    bool measured_since(End end) const {
        const bool by_rider = then_.stored(end, P::ride_height_rider) != nullptr;
        return moved_.measured(end, by_rider ? P::ride_height_rider : P::ride_height_static);
    }

    static Point length_point(End end) { return end == End::rear ? P::eye_to_eye : P::fork_position; }

    // As it is read now, else as then.
    Unit unit_of(End end, Point point) const {
        for (const SetUp* setup : {&now_, &then_})
            if (const StoredReading* stored = setup->stored(end, point))
                return stored->reading.repeats.back().unit;
        return Unit::mm;
    }

    void unsaid(End end, const Error& error) {
        plan_.held = false;
        plan_.unsaid.push_back(named_by_reading(error, end));
    }

    void leave_out(End end, bool damper) {
        const auto of_end = [end](const auto& each) { return each.first.first == end; };
        const auto& then = then_.values;
        const auto& now = now_.values;
        if (std::none_of(then.begin(), then.end(), of_end)) {
            if (std::any_of(now.begin(), now.end(), of_end))
                plan_.left_out.push_back({end, LeftOut::Why::not_read_then, {}});
            return;
        }
        LeftOut clicks{end, LeftOut::Why::other_damper, {}};
        for (const Copied& c : copied)
            if (!damper && c.of == Of::damper && then_.stored(end, c.point)) clicks.points.push_back(c.point);
        if (!clicks.points.empty()) plan_.left_out.push_back(std::move(clicks));
    }

    void note(const RestorePlan& walked) {
        for (const PlanStep& tick : walked.steps) {
            if (tick.values.empty()) moved_.since.insert(tick.action);
            for (const SetValue& v : tick.values) {
                const bool is_set = std::any_of(copied.begin(), copied.end(), [&](const Copied& one) {
                    return one.point == v.reading.point;
                });
                // A measured height or slack: nothing was moved.
                const bool fitted = tick.action.starts_with(key(Doing::fit));
                if ((!is_set && !fitted) || is_measuring(tick.action)) {
                    moved_.since.insert(tick.action);
                } else {
                    moved_.note(tick.action, v.end, v.reading.point);
                    set_[{v.end, v.reading.point}] = v.reading;
                }
            }
        }
    }

    // Readings that were moved are measured again; the target's values are expected.
    void measure() {
        for (const End end : {End::rear, End::front}) {
            const auto stood = then_.stale.empty() ? Result<Stance>(Stance{}) : stance_of(bike_, end, then_);
            const std::array stances = {stood ? stood->topped_out : std::nullopt,
                                        stood ? stood->static_ : std::nullopt,
                                        stood ? stood->rider : std::nullopt};
            std::optional<CheckInput> input;
            for (std::size_t i = 0; i < ride_heights.size(); ++i) {
                const StoredReading* wanted = then_.stored(end, ride_heights[i]);
                if (!wanted || !moved_.heights.contains(end)) continue;
                // Settings changed after the height was read: expect the predicted height.
                const bool stale = then_.stale.contains({end, ride_heights[i]});
                if (stale && !stances[i]) continue;
                const double expect = stale ? stances[i]->value : value_of(*wanted);
                compare(end, i, *wanted, expect, input);
                ask(end, ride_heights[i], expect);
            }
            if (input) plan_.checks.emplace(end, judge(*input));
            const StoredReading* slack = then_.stored(end, P::chain_slack);
            if (slack && moved_.chain) ask(end, P::chain_slack, value_of(*slack));
        }
    }

    // Adds a height to the check of its end, if it was measured since it was moved.
    void compare(End end, std::size_t state, const StoredReading& wanted, double expect,
                 std::optional<CheckInput>& input) const {
        const StoredReading* is = now_.stored(end, ride_heights[state]);
        if (!is || !moved_.measured(end, ride_heights[state])) return;
        if (!input) input = CheckInput{{}, {}, {}, bike_.setup(end).tolerance};
        Measured& before = input->before[state].emplace(measured(wanted.reading));
        before.value = expect;
        input->after[state] = measured(is->reading);
        input->same_instrument[state] = wanted.reading.instrument == is->reading.instrument;
        // The way leads back to every height.
        input->predicted.residual[state] = mm(0);
        input->predicted.standing[state].emplace().height = mm(expect);
    }

    void ask(End end, Point point, double expect) {
        PlanAction a;
        a.key = action_key(Doing::measure, end, point);
        if (moved_.since.contains(a.key)) return;
        a.doing = Doing::measure;
        a.end = end;
        a.point = point;
        if (const StoredReading* from = now_.stored(end, point)) a.from = *from;
        a.expect = expect;
        plan_.actions.push_back(std::move(a));
    }

    const BikeBody& bike_;
    const SetUp& now_;
    const SetUp& then_;
    std::map<Place, Reading> set_{};  // by the steps done so far
    Moved moved_{bike_.how_read.stand()};
    PlanActions plan_;
};

}  // namespace

PlanActions restore_plan(const BikeBody& bike, const SetUp& now, const SetUp& target,
                         const RestorePlan* walked) {
    return Maker(bike, now, target).make(walked);
}

}  // namespace restand
