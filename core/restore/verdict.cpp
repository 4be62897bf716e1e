#include "core/restore/verdict.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/machine/bike.h"

namespace restand {
namespace {

// If the uncertainty is zero, any difference is significant (infinite E_n) and no difference gives 0.
double e_number(double difference, double expanded) {
    if (expanded > 0.0) return difference / expanded;
    if (difference == 0.0) return 0.0;
    return std::copysign(std::numeric_limits<double>::infinity(), difference);
}

double below(double z) {
    return 0.5 * std::erfc(-z / std::sqrt(2.0));
}

// Probability that the true difference is inside the tolerance.
double inside_of(Length difference, Length expanded, Length tolerance) {
    const double d = difference.value, t = tolerance.value;
    const double u = expanded.value / coverage_95(infinite_dof);
    if (!(u > 0.0)) return std::fabs(d) <= t ? 1.0 : 0.0;
    return below((t - d) / u) - below((-t - d) / u);
}

Verdict verdict_of(double inside) {
    constexpr double sure = 0.95;
    return inside >= sure         ? Verdict::restored
           : inside <= 1.0 - sure ? Verdict::not_restored
                                  : Verdict::cannot_tell;
}

State must_hold_state(const CheckInput& input) {
    const auto rider = static_cast<std::size_t>(State::rider);
    return input.before[rider] && input.after[rider] ? State::rider : State::static_;
}

// Heights promised by the answer: those it predicted within the tolerance, and the must-hold height.
bool is_held(const CheckInput& input, State state) {
    if (state == must_hold_state(input)) return true;
    const auto residual = (input.promised ? *input.promised : input.predicted).residual_at(state);
    return residual && abs(*residual) <= input.tolerance;
}

const HeightCheck* height_of(const CheckResult& result, State state) {
    const auto found = std::find_if(result.heights.begin(), result.heights.end(),
                                    [state](const HeightCheck& h) { return h.state == state; });
    return found == result.heights.end() ? nullptr : &*found;
}

// Compares what is off of both loaded heights, each against its own prediction.
std::optional<State> alone_off(const CheckResult& result, const CheckInput& input) {
    const HeightCheck *still = height_of(result, State::static_), *rider = height_of(result, State::rider);
    if (!still || !rider) return std::nullopt;
    // On its top-out stop the end does not feel the collar until the rider is on.
    if (const auto& stands = input.predicted.at(State::static_); stands && stands->topped_out)
        return std::nullopt;
    const Length off_still = still->after - still->predicted, off_rider = rider->after - rider->predicted;
    const double apart = std::hypot(still->expanded.value, rider->expanded.value);
    if (!(abs(off_rider - off_still).value > apart)) return std::nullopt;
    const bool still_back = abs(off_still) <= still->expanded, rider_back = abs(off_rider) <= rider->expanded;
    if (still_back == rider_back) return std::nullopt;
    return still_back ? State::rider : State::static_;
}

// By how much all heights are off alike, where that is more than a length is set wrong by.
std::optional<Length> all_off(const CheckResult& result, const CheckInput& input) {
    const auto& heights = result.heights;
    const auto& top = input.predicted.at(State::topped_out);
    if (heights.size() < 2 || heights.front().state != State::topped_out || !top) return std::nullopt;
    const Length off = heights.front().after - heights.front().predicted;
    // The smallest difference between two states of a bike (common practice, no source).
    const Length another_mark = mm(facts(Point::ride_height_topped_out).jump);
    if (abs(off) <= another_mark) return std::nullopt;
    for (const HeightCheck& h : heights) {
        const double apart = std::hypot(h.expanded.value, heights.front().expanded.value);
        // What was assumed moves the loaded heights by less than a quarter of it.
        const double alike = apart + std::max(another_mark.value / 2, abs(off).value / 4);
        if (abs((h.after - h.predicted) - off).value > alike) return std::nullopt;
    }
    return off;
}

}  // namespace

Verdict verdict_on(Length difference, Length expanded, Length tolerance) {
    return verdict_of(inside_of(difference, expanded, tolerance));
}

Verdict worse_of(Verdict a, Verdict b) {
    for (const Verdict worse : {Verdict::not_restored, Verdict::cannot_tell})
        if (a == worse || b == worse) return worse;
    return Verdict::restored;
}

bool lost_before(const HeightCheck& height, Length tolerance) {
    const Length nothing_off{};
    return verdict_of(inside_of(nothing_off, height.expanded_before, tolerance)) != Verdict::restored;
}

std::optional<Mass> load_for(const HeightCheck& height, const Prediction& predicted) {
    const auto& stands = predicted.at(height.state);
    if (!stands) return std::nullopt;
    // What was set explains a part, and after a correction the model is wrong by what was corrected.
    const Length off = height.before - height.after, unexplained = height.predicted - height.after;
    if (off.value * unexplained.value <= 0) return std::nullopt;
    const Length least = abs(off) < abs(unexplained) ? off : unexplained;
    return kilogram(in_newton(least * stands->wheel_rate) / standard_gravity);
}

CheckResult judge(const CheckInput& input) {
    CheckResult result{{}, Verdict::cannot_tell};
    bool any = false, missed = false, unclear = false;
    for (const State state : all_states) {
        const auto i = static_cast<std::size_t>(state);
        const auto &before = input.before[i], &after = input.after[i];
        if (!before || !after) continue;
        const bool same = input.same_instrument[i];
        const double u_after = expanded_95(same ? without_common(*after) : *after);
        const double u_before = expanded_95(same ? without_common(*before) : *before);
        const Length expanded = mm(std::hypot(u_after, u_before));
        const Length difference = mm(after->value - before->value);
        const double e_n = e_number(difference.value, expanded.value);
        const bool held = is_held(input, state);
        const auto& standing = input.predicted.at(state);
        const double inside = inside_of(difference, expanded, input.tolerance);
        const Verdict verdict = verdict_of(inside);
        result.heights.push_back({.state = state,
                                  .before = mm(before->value),
                                  .after = mm(after->value),
                                  .predicted = standing ? standing->height : mm(before->value),
                                  .expanded = expanded,
                                  .expanded_before = mm(u_before),
                                  .e_n = e_n,
                                  .inside = inside,
                                  .held = held,
                                  .verdict = verdict});
        if (!held) continue;
        any = true;
        missed = missed || verdict == Verdict::not_restored;
        unclear = unclear || verdict == Verdict::cannot_tell;
    }
    // With the wheel off the ground a height tells the length only.
    if (any && result.heights.back().state != State::topped_out)
        result.verdict = missed ? Verdict::not_restored : unclear ? Verdict::cannot_tell : Verdict::restored;
    result.alone = alone_off(result, input);
    result.all_off = all_off(result, input);
    return result;
}

}  // namespace restand
