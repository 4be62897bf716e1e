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

void set_new_unit(SwapModel& model, Settings at) {
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
    of(model.load, state) = stood->load.value * swap.load_scale + of(swap.more_load, state).value;
    return Done{};
}

// The length at which the old end hangs. The map needs no anchor for it: that shifts heights alone.
Result<Length> hanging_length(const SuspensionUnit& unit, const SwapCase& swap) {
    if (!unit.top_out) return unit.length;
    const auto hangs = standing_under({unit, swap.map}, -swap.hanging);
    return hangs ? Result<Length>(hangs->length) : hangs.error();
}

SuspensionUnit set_to(SuspensionUnit unit, Settings at) {
    unit.length = mm(at.length);
    unit.installed_length = mm(at.installed);
    return unit;
}

Bounds bounds_of(const SwapModel& model, const SwapCase& swap) {
    // The thread of the length adjuster ends at a length that was read at the preload as found.
    const double more = model.now.length - swap.length.now.value;
    const auto installed = [&](Length read) { return at_stop(model, {0.0, read.value}).installed; };
    Bounds bounds{{swap.length.min.value + more, installed(swap.installed.min)},
                  {swap.length.max.value + more, installed(swap.installed.max)}};
    // A loose spring is not allowed. If the whole collar range is past the free length, the tightest position
    // is the only one.
    double& longest = bounds.high.installed;
    longest = std::max(bounds.low.installed, std::min(longest, model.loosest));
    return bounds;
}

}  // namespace

Settings at_stop(const SwapModel& model, Settings as_read) {
    if (!model.new_end.unit.top_out) return as_read;
    const SuspensionUnit unit = at_stop(set_to(model.new_end.unit, as_read));
    return {unit.length.value, unit.installed_length.value};
}

Settings as_read(const SwapModel& model, Settings at_stop) {
    if (!model.new_end.unit.top_out) return at_stop;
    const double travel = unloaded_travel(set_to(model.new_end.unit, at_stop)).value;
    return {at_stop.length - travel, at_stop.installed - travel};
}

Length Heights::of(State s) const {
    return s == State::topped_out ? topped_out : s == State::static_ ? static_ : rider;
}

bool inside(const Bounds& bounds, Settings at) {
    return at.length >= bounds.low.length && at.length <= bounds.high.length &&
           at.installed >= bounds.low.installed && at.installed <= bounds.high.installed;
}

Bounds no_bounds() {
    constexpr double inf = std::numeric_limits<double>::infinity();
    return {{-inf, -inf}, {inf, inf}};
}

Result<SwapModel> swap_model(const SwapCase& swap) {
    const SuspensionUnit old_unit = at_stop(swap.before.unit);
    const Result<Length> hung = hanging_length(old_unit, swap);
    if (!hung) return hung.error();
    const Result<HeightMap> map = swap.map.anchored(*hung, swap.before.topped_out);
    if (!map) return Error{ErrorCode::no_solution, "baseline.unit.eye_to_eye_mm", map.error().detail};
    SwapModel model{.old_end = {old_unit, *map},
                    .new_end = {swap.new_unit, swap.new_map ? swap.new_map->shifted(map->shift()) : *map},
                    .aim = {},
                    .load = {},
                    .stood = {}};

    // On the stand the end rests on its top-out stop, or hangs on its top-out spring.
    const Force lifted = newton(0.0) - swap.hanging;
    Result<Standing> hanging = standing_under(model.old_end, lifted);
    if (!hanging) return hanging.error();
    of(model.stood, State::topped_out) = *hanging;
    of(model.aim, State::topped_out) = (swap.before.topped_out + swap.raise).value;
    of(model.load, State::topped_out) = lifted.value;
    if (swap.before.static_)
        if (auto done = weigh(model, swap, State::static_, *swap.before.static_); !done) return done.error();
    if (swap.before.rider)
        if (auto done = weigh(model, swap, State::rider, *swap.before.rider); !done) return done.error();
    if (!swap.before.rider && !swap.before.static_)
        return Error{ErrorCode::missing, height_path(State::rider), "rider or static ride height"};
    model.must_hold = swap.hold.value_or(swap.before.rider ? State::rider : State::static_);

    model.now = at_stop(model, {swap.length.now.value, swap.installed.now.value});
    model.free_length = free_length(swap.new_unit).value;
    // If the legs differ, the spring that comes loose first counts.
    if (const auto& other = swap.new_unit.other_leg)
        model.free_length =
            std::min(model.free_length, (other->spring.free_length - other->installed_more).value);
    model.loosest = model.free_length + springless_travel(swap.new_unit);
    model.bounds = bounds_of(model, swap);
    return model;
}

std::optional<Unconstrained> unconstrained(SwapModel& model, State state, Settings at, bool stop_holds) {
    set_new_unit(model, at);
    const SuspensionUnit& unit = model.new_end.unit;
    const HeightMap& map = model.new_end.map;
    const auto range = map.length_range();
    const auto topped_out = [&] {
        const MapPoint here = map_beyond(map, range, at.length);
        return Unconstrained{at.length, here.height.value, here.leverage, 0.0};
    };
    const bool hangs = state == State::topped_out;
    if (hangs && !unit.top_out) return topped_out();

    // F(L − l) falls as l grows. Newton's method starts where the end stood before and bisects within the
    // bracket once both sides are known.
    const double load = *of(model.load, state);
    double l = of(model.stood, state)->length.value;
    double low = -std::numeric_limits<double>::infinity(), high = -low;
    for (int i = 0; i < 100; ++i) {
        const MapPoint here = map_beyond(map, range, l);
        const UnitTerms terms = unit_terms(unit, at.length - l, !hangs);
        const double excess = terms.force - load * here.leverage;
        const double slope = terms.d_travel + load * here.curvature;
        const double newton_step = l + excess / slope;
        // A slope that is NaN or has the wrong sign also fails this test.
        if (slope > 0.0 && std::fabs(newton_step - l) < 1e-12 * std::fabs(l)) {
            if ((stop_holds || hangs) && l > at.length) return topped_out();
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

double miss_of(SwapModel& model, State state, Settings at) {
    const auto leant = unconstrained(model, state, at, false);
    if (!leant) return std::numeric_limits<double>::infinity();
    return *of(model.aim, state) - of(model.offset, state) - leant->height;
}

// The nearest of several solutions: must-hold first, then topped out; the first of equals.
class Nearest {
public:
    explicit Nearest(SwapModel& model) : model_(model) {}
    // Solves inside `bounds` and returns the miss of the topped-out height.
    double solve(const Bounds& bounds) {
        const auto at = approach(model_, bounds, model_.now, false);
        if (!at) return std::numeric_limits<double>::quiet_NaN();
        const double must = std::fabs(miss_of(model_, model_.must_hold, *at)),
                     topped = miss_of(model_, State::topped_out, *at);
        constexpr double alike = 1e-7;
        if (must < must_ - alike || (must < must_ + alike && std::fabs(topped) < topped_ - alike)) {
            best_ = *at;
            must_ = must;
            topped_ = std::fabs(topped);
        }
        return topped;
    }
    bool exact() const { return must_ < 1e-7 && topped_ < 1e-7; }
    const std::optional<Settings>& best() const { return best_; }

private:
    SwapModel& model_;
    std::optional<Settings> best_;
    double must_ = std::numeric_limits<double>::infinity(), topped_ = must_;
};

// On a top-out spring the slopes lead nowhere where it reaches as far as the end stands (both adjusters then
// move both heights alike), and jump where the end tops out or a spring comes loose. So follow the settings
// that hold the must-hold height, from a spring that presses the unloaded unit to its stop to a loose one.
Result<Settings> on_top_out_spring(SwapModel& model, const Bounds& bounds) {
    Nearest nearest(model);
    nearest.solve(bounds);
    const Settings& low = bounds.low;
    const Settings& high = bounds.high;
    for (const double end : {low.length, high.length})
        if (std::isfinite(end)) nearest.solve({{end, low.installed}, {end, high.installed}});
    const SuspensionUnit unit = set_to(model.new_end.unit, {model.now.length, model.loosest});
    const double by_spring = unit_terms(unit, 0.0, true).d_preload;
    const double pressed = unit.top_out->reach.value * (1.0 + unit.top_out->rate.value / by_spring);
    const double from = std::clamp(model.loosest - pressed, low.installed, high.installed),
                 to = std::clamp(model.loosest + pressed, low.installed, high.installed);
    const auto at = [&](double installed) {
        return nearest.solve({{low.length, installed}, {high.length, installed}});
    };
    constexpr int parts = 24;
    double last = at(from);
    for (int i = 1; i <= parts && !nearest.exact(); ++i) {
        double a = from + (to - from) * (i - 1) / parts, b = from + (to - from) * i / parts;
        const double next = at(b);
        for (int round = 0; round < 60 && last * next < 0.0 && !nearest.exact(); ++round) {
            const double middle = 0.5 * (a + b);
            (at(middle) * last > 0.0 ? a : b) = middle;
        }
        last = next;
    }
    if (!nearest.best()) return Error{ErrorCode::no_solution, "end", "the solver did not settle"};
    return *nearest.best();
}

}  // namespace

Result<Settings> best_setting(SwapModel& model, const Bounds& bounds) {
    const Result<Settings> first = model.new_end.unit.top_out ? on_top_out_spring(model, bounds)
                                                              : approach(model, bounds, model.now, false);
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

Prediction predicted(SwapModel& model, Settings at, bool with_static) {
    set_new_unit(model, at);
    Prediction p;
    const LoadedEnd end(model.new_end);
    for (const State state : all_states) {
        if (!of(model.aim, state) || (state == State::static_ && !with_static)) continue;
        const Standing& before = *of(model.stood, state);
        Result<Standing> stands = end.under(newton(*of(model.load, state)), before.length);
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

Prediction predict_held(SwapModel& model, Settings at) {
    return predicted(model, at, model.must_hold == State::static_);
}

Prediction predict(SwapModel& model, Settings at) {
    return predicted(model, at, true);
}

}  // namespace restand
