#pragma once
// Internal to the solver: a swap case prepared for solving. How does the end stand at a given setting of the
// adjusters, and which setting is best?
//
// Prediction:     the real end, with its top-out stop and springs that only push.
// Unconstrained:  the same end without the stop and with springs that can pull. Its height is a smooth
//                 function of the setting, so the solver can move from a bad setting to a good one. Both
//                 models agree wherever the bike stands on its spring. The derivatives are exact, by the
//                 implicit function theorem on
//                 F(L − l, p) − W·h'(l) = 0      dl/dL = F_x/(F_x + W·h''),  dl/dp = F_p/(F_x + W·h'')
//
// This is the numeric kernel: plain doubles, lengths in mm, forces in N.

#include <array>
#include <optional>

#include "core/restore/bounded_least_squares.h"
#include "core/restore/restore.h"

namespace restand {

struct Settings {
    double length, installed;
};  // mm, at the stop: unit length eye to eye, installed length of the spring

struct Unconstrained {
    double length;  // of the unit at equilibrium; longer than the setting if the spring has to pull
    double height;
    double d_length;     // dh/dL
    double d_installed;  // dh/d(installed length)
};

struct Bounds {
    Settings low, high;
};

struct SwapModel {
    EndModel old_end, new_end;                     // anchored; every query sets new_end again
    std::array<std::optional<double>, 3> aim;      // ride height before, by State
    std::array<std::optional<double>, 3> load;     // wheel load of the new end
    std::array<double, 3> offset{};                // real height − model height, from a check
    std::array<std::optional<Standing>, 3> stood;  // the old end
    State must_hold = State::rider;
    Settings now{};
    Bounds bounds{};  // the collar stops at zero preload, unless its thread ends before it reaches the spring
    double free_length = 0.0;
    double loosest = 0.0;  // longest installed length at which no spring is loose in the unloaded unit
};

// A setting of the new unit, as read on it unloaded and at the stop. Equal without a top-out spring.
Settings at_stop(const SwapModel& model, Settings as_read);
Settings as_read(const SwapModel& model, Settings at_stop);

// Errors as restore().
Result<SwapModel> swap_model(const SwapCase& swap);
Prediction before(const SwapModel& model);
Prediction predict(SwapModel& model, Settings at);
// The same without the static height, unless that must hold.
Prediction predict_held(SwapModel& model, Settings at);
// `stop_holds`: if the spring would have to pull, the top-out stop sets the height instead.
std::optional<Unconstrained> unconstrained(SwapModel& model, State state, Settings at, bool stop_holds);
// The setting nearest to the aims: must-hold first, then topped out, then the smallest change from `now`.
Result<Settings> best_setting(SwapModel& model, const Bounds& bounds);
Bounds no_bounds();
bool inside(const Bounds& bounds, Settings at);

// The best of the settable steps around a continuous answer; see detents.cpp for the rule.
Settings best_detent(SwapModel& model, const SwapCase& swap, Settings continuous);
// The limits that `wanted` exceeds, and those that keep `setting` and `detent` from holding everything.
std::vector<Limit> limits_of(SwapModel& model, const SwapCase& swap, Settings wanted, Settings setting,
                             Settings detent);

template <class T>
T& of(std::array<T, 3>& a, State s) {
    return a[static_cast<std::size_t>(s)];
}
template <class T>
const T& of(const std::array<T, 3>& a, State s) {
    return a[static_cast<std::size_t>(s)];
}

}  // namespace restand
