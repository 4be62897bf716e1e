#pragma once
// After a part swap: which settings of the new unit restore the ride heights of this end of the bike?
//
// The old unit serves as load cell: the heights before the swap, the height map and the old unit's force give
// the wheel loads. Targets (ride heights of the three states) and adjusters (unit length, preload) are data.
// Bounded least squares meets the must-hold target first, then the weighted ones, and then makes the smallest
// change. The closed form of the single swap tests it (closed_form.h). The rider height must hold. The
// topped-out height is weighted. The static height has weight 0.
//
// Signs: larger ride height = more extended. Length adjuster: positive turns lengthen the unit.
// Collar: positive turns are "in", more preload, shorter spring. residual = predicted − before.
// Front end: the unit's length is fork length − fork position, so a longer unit is a smaller position.
//
// With a top-out spring (unit_force.h) every length and installed length here is as read on the unloaded
// unit, in cases, settings and checks; the ends of an adjuster too. Preload moves the topped-out height: the
// end hangs where springs, gas, top-out spring and `hanging` are in balance. Turns are of the adjusters.
//
// The answer is always a setting that can be made. If the wanted setting is out of reach, the answer is the
// nearest one that can be set; `wanted` holds the setting without limits, `limits` names what prevents it.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "core/machine/end.h"
#include "core/measure/point.h"

namespace restand {

enum class State { topped_out, static_, rider };
std::string_view key(State state);   // "topped_out", "static", "rider"
inline constexpr std::array<State, 3> all_states = {State::topped_out, State::static_, State::rider};
// The state in which a ride height is read; nullopt: `point` is none, as a tyre's name.
std::optional<State> height_state(Point point);
inline Point height_point(State state) { return ride_heights[static_cast<std::size_t>(state)]; }

// A threaded adjuster of a length. The range is in terms of that length.
struct Adjuster {
    Length min, max;                     // min <= now <= max
    Length now;                          // as found
    std::optional<Length> per_turn;      // pitch; nullopt: unknown, the answer states no turns
    double detent_turns = 0.25;          // settable step; a quarter turn by hand (common practice, no source)
    // Settable step of an adjuster without a thread; used if per_turn is unset
    Length detent;
};

struct Heights { Length topped_out, static_, rider; Length of(State s) const; };

struct SwapCase {
    End end = End::rear;
    HeightMap map;                       // as described, not yet anchored
    std::optional<HeightMap> new_map{};  // with the new parts, same datum; nullopt: same as `map`
    Length raise{};                      // added to every target height (a different tyre under the axle)
    struct Before { SuspensionUnit unit; Length topped_out; std::optional<Length> static_, rider; } before;
    // The new unit as found on the bench: unit.length = length.now, unit.installed_length = installed.now.
    SuspensionUnit new_unit;
    Adjuster length;                     // unit length; min = max = now when it cannot be adjusted
    Adjuster installed;                  // installed spring length; collar in = shorter
    std::optional<State> hold{};         // the height that must hold; nullopt: rider if read, else static
    std::array<Force, 3> more_load{};    // new wheel load − old, by State, after load_scale
    double load_scale = 1.0;             // new wheel load / old wheel load; 1 if nothing else changed
    Length tolerance = mm(1.0);          // a residual up to this counts as held
    // Weight at the axle with the wheel off the ground; it pulls a top-out spring. >= 0, old and new end.
    Force hanging{};
    // Front: the tube's length, from which the position in the yokes is set. Unit length = it − position.
    Length set_from{};
};
// SwapCase has no default map, so all members are set at once: SwapCase{.end = …, .map = …, …}.

enum class LimitCode {
    length_adjuster_bound, negative_preload, coil_bind_before_full_travel, off_the_map, travel_exhausted,
    collar_bound,                        // the end of the collar's thread
};
std::string_view key(LimitCode code);
struct Limit {
    LimitCode code;
    Length beyond;                       // how far the setting is past the limit, > 0
    // The limit itself: end of the adjuster, 0 preload, block length, end of the map, travel
    Length bound;
};

struct Setting {                         // what the mechanic sets
    Length length;                       // eye to eye, topped out, unloaded
    Length installed_length;
    Length preload;
    std::optional<double> length_turns;  // from `now`; positive = longer
    std::optional<double> collar_turns;  // from `now`; positive = in
    Length lengthened{};                 // by preload against `now`, on a top-out spring; not by the adjuster
};

struct Prediction {
    std::array<std::optional<Standing>, 3> standing;   // by State; nullopt: not read before, or off the map
    std::array<std::optional<Length>, 3> residual;     // predicted − before
    std::optional<Length> free_sag, rider_sag;         // topped out − static, topped out − rider
    std::optional<Rate> wheel_rate;                    // at rider height, else static, else topped out
    std::optional<Length> block_margin;                // gap between the coils at full travel
    std::optional<Length> travel_left;                 // from rider height to full travel
    bool coils_touch() const { return block_margin && *block_margin < mm(0); }   // before full travel
    const std::optional<Standing>& at(State s) const { return standing[static_cast<std::size_t>(s)]; }
    std::optional<Length> residual_at(State s) const { return residual[static_cast<std::size_t>(s)]; }
};

struct Step {                            // effect of one step of an adjuster, at the answer
    Length setting;                      // size of the step: one turn (or detent) of the adjuster
    std::optional<Length> rider, static_, topped_out;  // change of ride height, mm at the axle
};

struct Answer {
    Setting wanted;                      // the best without limits
    Setting setting;                     // the best within the limits, continuous
    Setting detent;                      // the best of the settable steps
    Prediction before;                   // the old unit, from the readings (residuals 0)
    Prediction predicted;                // at `setting`
    Prediction predicted_detent;         // at `detent`
    std::vector<Limit> limits;           // exceeded by `wanted` or met at `setting` or `detent`; empty: none
    Step length_step, collar_step;
    State hold = State::rider;           // the height that must hold
    // At `setting` the must-hold height is within tolerance; no coil bind, on the map, within the travel.
    bool held = false;
    // No coils touch and the travel is not used up before the wheel is at its end: it may be set at all.
    bool can_be_ridden() const;
};

// Errors: contradiction, out_of_range, missing (neither static nor rider height), no_solution (off the map
// before anything can be predicted, or the solver does not converge). Coil bind and an unreachable rider
// height give an Answer with held = false.
Result<Answer> restore(const SwapCase& swap);
// Predicts the end at any setting. No limits apply: settings outside the ranges are predicted too.
Prediction predict(const SwapCase& swap, Length length, Length installed_length);

// After a check whose readings differ from the prediction: the correction from the present setting, with the
// model shifted by the measured differences. Errors as restore().
struct Checked { Length length, installed_length; std::optional<Length> topped_out, static_, rider; };
Result<Answer> correct(const SwapCase& swap, const Checked& checked);

// Two readings of heights in the wrong order may be this much apart (checkvalues P-23: tape ±1, reader ±1).
inline constexpr Length height_slack = mm(2.0);

// Checks the case for plausibility before it is solved. Error subject = field path as in the case file.
Outcome validate(const SwapCase& swap);

}  // namespace restand
