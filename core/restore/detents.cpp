// The best settable step. Rule: the must-hold height comes first. Of the steps whose miss of it is within
// half the tolerance of the best one, take the step with the smallest miss of the topped-out height. Never
// take a loose spring. Take a step that binds the coils or exceeds the travel only if there is no other.
//
// Search range: the two length steps on each side of the continuous answer. For each of them, the two collar
// steps around the preload that restores the must-hold height at that length.

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/restore/swap_model.h"

namespace restand {
namespace {

constexpr double detent_rounding = 1e-9;

// Settable positions of one adjuster: now + n·step inside its bounds; step 0 means any position.
struct Grid {
    double now, step, low, high;

    bool continuous() const { return step <= 0.0; }
    // Number of the first step at or below `target`.
    double below(double target) const { return std::floor((target - now) / step + detent_rounding); }
    // Position of step n; nullopt if it is outside the bounds.
    std::optional<double> at(double n) const {
        const double position = now + n * step;
        if (position < low - detent_rounding || position > high + detent_rounding) return std::nullopt;
        return std::clamp(position, low, high);
    }
};

Grid grid(const Adjuster& adjuster, double now, double low, double high) {
    const double step =
        adjuster.per_turn ? adjuster.per_turn->value * adjuster.detent_turns : adjuster.detent.value;
    return {now, low < high ? step : 0.0, low, high};
}

struct Positions {
    std::array<double, 6> value{};
    int count = 0;
};

// `each_side` steps below and above the target. A target out of bounds is first moved to the nearest bound.
Positions around(const Grid& grid, double target, int each_side) {
    Positions found;
    const double inside = std::clamp(target, grid.low, grid.high);
    if (grid.continuous()) return {{inside}, 1};
    const double first = grid.below(inside) + 1 - each_side;
    for (int k = 0; k < 2 * each_side; ++k)
        if (const auto position = grid.at(first + k)) found.value[found.count++] = *position;
    // The bounds are closer together than one step and contain none: try the clamped target itself.
    if (found.count == 0) found = {{inside}, 1};
    return found;
}

struct Candidate {
    Settings at;
    double held_miss, topped_miss;
    bool safe;  // the coils do not touch at full travel, and the end stands within the travel
};

Candidate judged(SwapModel& model, Settings at) {
    constexpr double inf = std::numeric_limits<double>::infinity();
    const Prediction p = predict_held(model, at);
    const auto miss = [&](State s) { return p.residual_at(s) ? std::fabs(p.residual_at(s)->value) : inf; };
    const bool beyond = p.travel_left && p.travel_left->value < 0.0;
    return {at, miss(model.must_hold), miss(State::topped_out), !p.coils_touch() && !beyond};
}

}  // namespace

Settings best_detent(SwapModel& model, const SwapCase& swap, Settings continuous) {
    const auto& [low, high] = model.bounds;
    const Grid length = grid(swap.length, model.now.length, low.length, high.length);
    const Grid collar = grid(swap.installed, model.now.installed, low.installed, high.installed);
    const std::optional<Unconstrained> leant = unconstrained(model, model.must_hold, continuous, false);
    // Change of installed length that compensates 1 mm of unit length at the must-hold height.
    const double trade = leant && leant->d_installed != 0.0 ? -leant->d_length / leant->d_installed : 0.0;

    std::array<Candidate, 12> candidates{};
    int count = 0;
    if (length.continuous() && length.low < length.high && trade != 0.0) {
        // The length is continuous and follows the collar's steps.
        const Positions collars = around(collar, continuous.installed, 1);
        for (int c = 0; c < collars.count; ++c) {
            const double moved = continuous.length + (collars.value[c] - continuous.installed) / trade;
            candidates[count++] =
                judged(model, {std::clamp(moved, length.low, length.high), collars.value[c]});
        }
    } else {
        const Positions lengths = around(length, continuous.length, 2);
        for (int i = 0; i < lengths.count; ++i) {
            const double wanted = continuous.installed + trade * (lengths.value[i] - continuous.length);
            const Positions collars = around(collar, wanted, 1);
            for (int c = 0; c < collars.count; ++c)
                candidates[count++] = judged(model, {lengths.value[i], collars.value[c]});
        }
    }

    // Drop unsafe steps, unless all are unsafe.
    const auto end = candidates.begin() + count;
    if (std::any_of(candidates.begin(), end, [](const Candidate& c) { return c.safe; }))
        count = static_cast<int>(
            std::remove_if(candidates.begin(), end, [](const Candidate& c) { return !c.safe; }) -
            candidates.begin());
    double least = std::numeric_limits<double>::infinity();
    for (int i = 0; i < count; ++i) least = std::min(least, candidates[i].held_miss);
    const double good = least + 0.5 * swap.tolerance.value;
    const Candidate* best = &candidates[0];
    for (int i = 1; i < count; ++i) {
        const Candidate& c = candidates[i];
        if (!(c.held_miss <= good)) continue;
        const bool as_near =
            c.topped_miss <= best->topped_miss + detent_rounding && c.held_miss < best->held_miss;
        if (best->held_miss > good || c.topped_miss < best->topped_miss - detent_rounding || as_near)
            best = &c;
    }
    return best->at;
}

}  // namespace restand
