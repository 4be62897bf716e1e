#include "core/restore/swap_model.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/machine/unit_terms.h"

namespace restand {
namespace {

// Weights of the targets that need not hold; a target of weight 0 is only reported.
double weight_of(State state) {
    return state == State::topped_out ? 1.0 : 0.0;
}

constexpr double near_enough = 1e-8;  // mm; the remaining error is of the order of the last step squared
constexpr int most_steps = 60;

void set(SwapModel& model, Settings at) {
    model.new_end.unit.length = mm(at.length);
    model.new_end.unit.installed_length = mm(at.installed);
}

std::string height_path(State state) {
    static constexpr const char* names[] = {"topped_out", "static", "rider"};
    return std::string("baseline.ride_height_mm.") + names[static_cast<std::size_t>(state)];
}

// Extends the map along its tangent beyond its ends. Used only while solving, never for displayed values.
MapPoint map_beyond(const HeightMap& map, std::pair<Length, Length> range, double length) {
    const double inside = std::clamp(length, range.first.value, range.second.value);
    MapPoint point = map.at(mm(inside)).value();
    if (inside != length) {
        point.height += mm(point.leverage * (length - inside));
        point.curvature = 0.0;
    }
    return point;
}

// The old unit serves as load cell: each reading gives the wheel load in its state.
Outcome weigh(SwapModel& model, const SwapCase& swap, State state, Length height) {
    const Result<Standing> stood = standing_at(model.old_end, height);
    if (!stood) return Error{stood.error().code, height_path(state), stood.error().detail};
    Standing as_read = *stood;
    as_read.height = height;
    of(model.stood, state) = as_read;
    of(model.aim, state) = (height + swap.raise).value;
    of(model.load, state) = stood->load.value * swap.load_scale;
    return Done{};
}

}  // namespace

Length Heights::of(State s) const {
    return s == State::topped_out ? topped_out : s == State::static_ ? static_ : rider;
}

Bounds no_bounds() {
    constexpr double inf = std::numeric_limits<double>::infinity();
    return {{-inf, -inf}, {inf, inf}};
}

Result<SwapModel> swap_model(const SwapCase& swap) {
    const Result<HeightMap> map = swap.map.anchored(swap.before.unit.length, swap.before.topped_out);
    if (!map) return Error{ErrorCode::no_solution, "baseline.unit.eye_to_eye_mm", map.error().detail};
    SwapModel model{.old_end = {swap.before.unit, *map},
                    .new_end = {swap.new_unit, swap.new_map ? swap.new_map->shifted(map->shift()) : *map},
                    .aim = {},
                    .load = {},
                    .stood = {}};

    // On the stand the wheel load is zero and the end rests on its top-out stop.
    Result<Standing> hanging = standing_under(model.old_end, newton(0.0));
    if (!hanging) return hanging.error();
    of(model.stood, State::topped_out) = *hanging;
    of(model.aim, State::topped_out) = (swap.before.topped_out + swap.raise).value;
    of(model.load, State::topped_out) = 0.0;
    if (swap.before.static_)
        if (auto done = weigh(model, swap, State::static_, *swap.before.static_); !done) return done.error();
    if (swap.before.rider)
        if (auto done = weigh(model, swap, State::rider, *swap.before.rider); !done) return done.error();
    if (!swap.before.rider && !swap.before.static_)
        return Error{ErrorCode::missing, height_path(State::rider), "rider or static ride height"};
    model.must_hold = swap.hold.value_or(swap.before.rider ? State::rider : State::static_);

    model.now = {swap.length.now.value, swap.installed.now.value};
    model.free_length = stack_free_length(swap.new_unit);
    // If the legs differ, the spring that comes loose first counts.
    if (const auto& other = swap.new_unit.other_leg)
        model.free_length =
            std::min(model.free_length, (other->spring.free_length - other->installed_more).value);
    model.bounds = {{swap.length.min.value, swap.installed.min.value},
                    {swap.length.max.value, swap.installed.max.value}};
    // A loose spring is not allowed. If the whole collar range is past the free length, the tightest position
    // is the only one.
    double& longest = model.bounds.high.installed;
    longest = std::max(model.bounds.low.installed, std::min(longest, model.free_length));
    return model;
}

std::optional<Unconstrained> unconstrained(SwapModel& model, State state, Settings at, bool stop_holds) {
    set(model, at);
    const SuspensionUnit& unit = model.new_end.unit;
    const HeightMap& map = model.new_end.map;
    const auto range = map.length_range();
    const auto topped_out = [&] {
        const MapPoint here = map_beyond(map, range, at.length);
        return Unconstrained{at.length, here.height.value, here.leverage, 0.0};
    };
    if (state == State::topped_out) return topped_out();

    // F(L − l) falls as l grows. Newton's method starts where the end stood before and bisects within the
    // bracket once both sides are known.
    const double load = *of(model.load, state);
    double l = of(model.stood, state)->length.value;
    double low = -std::numeric_limits<double>::infinity(), high = -low;
    for (int i = 0; i < 100; ++i) {
        const MapPoint here = map_beyond(map, range, l);
        const UnitTerms terms = unit_terms(unit, at.length - l, true);
        const double excess = terms.force - load * here.leverage;
        const double slope = terms.d_travel + load * here.curvature;
        const double newton_step = l + excess / slope;
        // A slope that is NaN or has the wrong sign also fails this test.
        if (slope > 0.0 && std::fabs(newton_step - l) < 1e-12 * std::fabs(l)) {
            if (stop_holds && l > at.length) return topped_out();
            return Unconstrained{newton_step, here.height.value + here.leverage * (newton_step - l),
                                 here.leverage * terms.d_travel / slope,
                                 -here.leverage * terms.d_preload / slope};
        }
        (excess > 0.0 ? low : high) = l;
        const bool bracketed = std::isfinite(low) && std::isfinite(high);
        if (newton_step > low && newton_step < high)
            l = newton_step;
        else
            l = bracketed ? 0.5 * (low + high) : l + (excess > 0.0 ? 20.0 : -20.0);
    }
    return std::nullopt;
}

namespace {

// Gauss–Newton: each step solves a bounded least-squares problem by levels, with the exact derivatives.
Result<Settings> approach(SwapModel& model, const Bounds& bounds, Settings from, bool stop_holds) {
    Settings at{std::clamp(from.length, bounds.low.length, bounds.high.length),
                std::clamp(from.installed, bounds.low.installed, bounds.high.installed)};
    double last = std::numeric_limits<double>::infinity();
    for (int i = 0; i < most_steps; ++i) {
        std::array<LeastRow, 3> rows;
        std::size_t used = 0;
        for (const State state : all_states) {
            const bool must = state == model.must_hold;
            if (!of(model.aim, state) || (!must && weight_of(state) == 0.0)) continue;
            const std::optional<Unconstrained> leant = unconstrained(model, state, at, stop_holds);
            if (!leant) return Error{ErrorCode::no_solution, "end", "no height at which the end stands"};
            const double miss = *of(model.aim, state) - of(model.offset, state) - leant->height;
            rows[used++] = {.a = {leant->d_length, leant->d_installed},
                            .b = miss,
                            .weight = must ? 1.0 : weight_of(state),
                            .level = must ? 0 : 1};
        }
        const Unknowns step = bounded_least_squares(
            {.count = 2,
             .rows = std::span(rows).first(used),
             .low = {bounds.low.length - at.length, bounds.low.installed - at.installed},
             .high = {bounds.high.length - at.length, bounds.high.installed - at.installed},
             .prefer = {model.now.length - at.length, model.now.installed - at.installed}});
        at.length = std::clamp(at.length + step[0], bounds.low.length, bounds.high.length);
        at.installed = std::clamp(at.installed + step[1], bounds.low.installed, bounds.high.installed);
        last = std::max(std::fabs(step[0]), std::fabs(step[1]));
        // A derivative near zero can give an enormous step.
        if (!(last < 1e6)) break;
        if (last < near_enough) return at;
    }
    if (last < 1e-7) return at;  // the rest is rounding; far below any settable step
    return Error{ErrorCode::no_solution, "end", "the solver did not settle"};
}

}  // namespace

Result<Settings> best_setting(SwapModel& model, const Bounds& bounds) {
    const Result<Settings> first = approach(model, bounds, model.now, false);
    if (!first) return first;
    const std::optional<Unconstrained> leant = unconstrained(model, model.must_hold, *first, false);
    if (!leant || leant->length <= first->length + 1e-9) return first;
    // Only a pulling spring could hold this height. In reality the end rests on its stop, and preload has no
    // effect. So solve again for the length alone.
    Bounds collar_stays = bounds;
    collar_stays.low.installed = collar_stays.high.installed = first->installed;
    return approach(model, collar_stays, *first, true);
}

namespace {

void summarise(Prediction& p) {
    const auto &top = p.at(State::topped_out), &still = p.at(State::static_), &rider = p.at(State::rider);
    if (top && still) p.free_sag = top->height - still->height;
    if (top && rider) p.rider_sag = top->height - rider->height;
    if (const auto& best = rider ? rider : still ? still : top) p.wheel_rate = best->wheel_rate;
}

}  // namespace

Prediction before(const SwapModel& model) {
    Prediction p;
    p.standing = model.stood;
    for (const State state : all_states)
        if (of(model.stood, state)) of(p.residual, state) = mm(0.0);
    summarise(p);
    const SuspensionUnit& unit = model.old_end.unit;
    p.block_margin = block_margin(unit);
    if (unit.travel && p.at(State::rider)) p.travel_left = *unit.travel - p.at(State::rider)->travel;
    return p;
}

Prediction predict(SwapModel& model, Settings at) {
    set(model, at);
    Prediction p;
    for (const State state : all_states) {
        if (!of(model.aim, state)) continue;
        Result<Standing> stands = standing_under(model.new_end, newton(*of(model.load, state)));
        if (!stands) continue;
        stands->height += mm(of(model.offset, state));
        of(p.residual, state) = stands->height - mm(*of(model.aim, state));
        of(p.standing, state) = *stands;
    }
    summarise(p);
    const SuspensionUnit& unit = model.new_end.unit;
    p.block_margin = block_margin(unit);
    if (unit.travel && p.at(State::rider)) p.travel_left = *unit.travel - p.at(State::rider)->travel;
    return p;
}

}  // namespace restand
