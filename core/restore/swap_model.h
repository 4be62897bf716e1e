#pragma once
// Inside the solver: a swap case made ready to be asked. What does the end do with the adjusters set like
// this, and where should they be set?
//
// Prediction: the real end, held by its top-out stop, springs that only push.
// Leaning:    the same end without stop and with springs that can pull. It has one smooth height for every
// setting,
//             so a solver can cross from a hopeless setting to a good one; the two agree wherever the bike
//             stands on its spring. Its derivatives are exact, by the implicit function theorem on
//                 F(L − l, p) − W·h'(l) = 0      dl/dL = F_x/(F_x + W·h''),  dl/dp = F_p/(F_x + W·h'')
//
// Lengths in mm, forces in N, as plain doubles: this is the numeric kernel.

#include <array>
#include <optional>

#include "core/restore/bounded_least_squares.h"
#include "core/restore/restore.h"

namespace restand {

struct Settings {
    double length, installed;
};  // eye to eye, and of the spring; mm

struct Unconstrained {
    double length;  // of the unit, as it would stand; longer than set where only pulling springs reach it
    double height;
    double d_length;     // dh/dL
    double d_installed;  // dh/d(installed length)
};

struct Bounds {
    Settings low, high;
};

struct SwapModel {
    EndModel old_end, new_end;                     // anchored; new_end is set anew for every question
    std::array<std::optional<double>, 3> aim;      // ride height before, by State
    std::array<std::optional<double>, 3> load;     // of the new end
    std::array<double, 3> offset{};                // real height − model height, from a check
    std::array<std::optional<Standing>, 3> stood;  // the old end
    State must_hold = State::rider;
    Settings now{};
    Bounds bounds{};  // the collar never beyond zero preload, unless it must be
    double free_length = 0.0;
};

// Errors as restore().
Result<SwapModel> swap_model(const SwapCase& swap);
Prediction before(const SwapModel& model);
Prediction predict(SwapModel& model, Settings at);
// `stop_holds`: where the spring would have to pull, the top-out stop decides the height instead.
std::optional<Unconstrained> unconstrained(SwapModel& model, State state, Settings at, bool stop_holds);
// The setting nearest to the aims: must-hold first, then topped out, then the smallest change from `now`.
Result<Settings> best_setting(SwapModel& model, const Bounds& bounds);
Bounds no_bounds();

// The best among the settable steps around a continuous answer; see detents.cpp for the rule.
Settings best_detent(SwapModel& model, const SwapCase& swap, Settings continuous);
// What is in the way of `wanted`, and of holding everything at `setting` and at the step nearest to it.
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
