#pragma once
// After a part swap: what to set on the new unit so that this end of the bike stands as before?
//
// The old unit is the load cell: heights before, by the map and the old unit's force, give the wheel loads.
// Targets (ride heights of the three states) and adjusters (unit length, preload) are data; bounded least
// squares with must-hold targets first, then the weighted ones, then the smallest change. The closed form of
// the single
// swap is the test of it (closed_form.h). Must hold: rider height. Then topped out. Then static, weight 0.
//
// Signs: larger ride height = more extended. Length adjuster: positive turns lengthen the unit.
// Collar: positive turns are "in", more preload, shorter spring. residual = predicted − before.
// Front end: the unit's length is fork length − fork position, so a longer unit is a smaller position.
//
// Never answered with a setting that cannot be made: where the wanted one is out of reach the nearest that
// can be set is the answer, `wanted` says what would have been needed, `limits` says what is in the way.

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

// A threaded adjuster of a length. Range in the length it sets.
struct Adjuster {
    Length min, max;                     // min <= now <= max
    Length now;                          // as found
    std::optional<Length> per_turn;      // pitch; unknown: the answer has no turns
    double detent_turns = 0.25;          // settable step; a quarter turn by hand (common practice, no source)
    // Settable step where it is not a thread; used while per_turn is unset
    Length detent;
};

struct Heights { Length topped_out, static_, rider; Length of(State s) const; };

struct SwapCase {
    End end = End::rear;
    HeightMap map;                       // as described, not yet anchored
    std::optional<HeightMap> new_map{};  // with the new parts, of the same datum; nullopt: the same
    Length raise{};                      // every target: height before + this (another tyre under the axle)
    struct Before { SuspensionUnit unit; Length topped_out; std::optional<Length> static_, rider; } before;
    // The new unit as found on the bench: unit.length = length.now, unit.installed_length = collar.now.
    SuspensionUnit new_unit;
    Adjuster length;                     // unit length; min = max = now when it cannot be adjusted
    Adjuster installed;                  // installed spring length; collar in = shorter
    double load_scale = 1.0;             // new wheel load / old, 1 if nothing else changed
    Length tolerance = mm(1.0);          // how near counts as held
};
// SwapCase needs a map, so it is made whole: SwapCase{.end = …, .map = …, …}.

enum class LimitCode {
    length_adjuster_bound, negative_preload, coil_bind_before_full_travel, off_the_map, travel_exhausted,
    collar_bound,                        // the collar's own thread ends first
};
std::string_view key(LimitCode code);
struct Limit {
    LimitCode code;
    Length beyond;                       // by how much the wanted setting is past the limit, > 0
    // The limit itself: adjuster end, 0 preload, block length, map's end, travel
    Length bound;
};

struct Setting {                         // what a person sets
    Length length;                       // eye to eye, topped out
    Length installed_length;
    Length preload;
    std::optional<double> length_turns;  // from `now`; positive = longer
    std::optional<double> collar_turns;  // from `now`; positive = in
};

struct Prediction {
    std::array<std::optional<Standing>, 3> standing;   // by State; nullopt: no reading before, or off the map
    std::array<std::optional<Length>, 3> residual;     // predicted − before
    std::optional<Length> free_sag, rider_sag;         // topped out − static, topped out − rider
    std::optional<Rate> wheel_rate;                    // at rider height, else static, else topped out
    std::optional<Length> block_margin;                // at full travel
    std::optional<Length> travel_left;                 // at rider height, to full travel
    const std::optional<Standing>& at(State s) const { return standing[static_cast<std::size_t>(s)]; }
    std::optional<Length> residual_at(State s) const { return residual[static_cast<std::size_t>(s)]; }
};

struct Step {                            // what one step of an adjuster does, at the answer
    Length setting;                      // the step itself: one turn (or detent) of the adjuster
    std::optional<Length> rider, static_, topped_out;  // change of ride height, mm at the axle
};

struct Answer {
    Setting wanted;                      // without any limit
    Setting setting;                     // the best that can be set, continuous
    Setting detent;                      // the best among settable steps
    Prediction before;                   // the old unit, from the readings (residuals 0)
    Prediction predicted;                // at `setting`
    Prediction predicted_detent;         // at `detent`
    std::vector<Limit> limits;           // of the wanted setting; empty = everything reached
    Step length_step, collar_step;
    bool held = false;                   // every must-hold target within tolerance, and no coil bind
};

// Errors: contradiction, out_of_range, missing (neither static nor rider height), no_solution (off the map
// before anything can be said). Coil bind and an unreachable rider height are an Answer with held = false.
Result<Answer> restore(const SwapCase& swap);
// What the end does with a setting that somebody made. Never limited: a wrong setting is predicted too.
Prediction predict(const SwapCase& swap, Length length, Length installed_length);

// After a check: the readings differ from the prediction. The correction from what is set now, with the model
// shifted by what was measured. Error as restore().
struct Checked { Length length, installed_length; std::optional<Length> topped_out, static_, rider; };
Result<Answer> correct(const SwapCase& swap, const Checked& checked);

// Plausibility of the case itself, before anything is solved. Subject = field path as in the case file.
Outcome validate(const SwapCase& swap);

}  // namespace restand
