#pragma once
// Force of a suspension unit (a damper with its spring, or both fork legs) as a function of its travel.
//
//     eye o======[ body ]==rod==o eye        length: topped out, as set; travel x: compression from there
//         |<------ length − x ------>|       force positive in compression
//
//   F(x) = Σ over legs [ F_spring(preload + x) ] + F_gas(x) + F_bump(x),   preload = free − installed length
//   two springs in series: 1/k = 1/k1 + 1/k2 until the softer one closes, then the stiffer one alone
//   reservoir gas: F = A·(p_abs·(V0/(V0 − A·x))^n − p_atm);  fork air: the same, with the leg's bore area
//
// Simplifications: no friction, no damping, no rebound spring; linear springs; gas at one temperature.
// Sources: Shigley 10th ed. ch. 4 and 10 (springs), Dixon 2nd ed. (gas force).

#include <optional>
#include <vector>

#include "core/quantity/quantity.h"
#include "core/quantity/result.h"

namespace restand {

inline constexpr Pressure atmosphere = megapascal(0.101325);

struct Spring {
    Rate rate;                           // of one spring, > 0
    Length free_length;                  // off the bike, unloaded
    std::optional<Length> block_length;  // length with the coils touching
};

// Compressed gas acting on a piston of `area`. Without a chamber the force does not depend on travel.
struct Gas {
    Force topped_out;  // on the rod at travel 0, >= 0
    struct Chamber {
        Area area;
        Volume volume;
        double exponent = 1.0;
    };
    std::optional<Chamber> chamber;  // absolute pressure follows from `topped_out` and the atmosphere
};

// The second fork leg, if it differs from the first. Both caps are turned by the same amount, so the
// difference of the installed lengths, `installed_more` (second − first), is constant.
struct Leg {
    Spring spring;
    Length installed_more;
};

struct BumpPoint {
    Length travel;
    Force force;
};  // bump rubber: linear between points, 0 before the first

struct SuspensionUnit {
    Length length;                 // topped out, as set now: eye to eye; fork: axle to yoke
    std::optional<Length> travel;  // available; unknown = not limited
    int legs = 1;                  // equal legs: 1 shock, 2 fork
    Spring spring;                 // of each leg
    Length installed_length;       // of the spring, topped out
    // Second spring in series. `installed_length` then covers both springs.
    std::optional<Spring> helper;
    std::optional<Leg> other_leg{};  // fork with two different legs; `legs` is then ignored
    Gas gas;                         // of the whole unit
    std::vector<BumpPoint> bump;     // of the whole unit, in order of rising travel
};

Length preload(const SuspensionUnit& unit);        // free − installed; negative: loose spring
Length least_preload(const SuspensionUnit& unit);  // the smaller one, if the two legs differ
Force gas_force(const Gas& gas, Length travel);
Force unit_force(const SuspensionUnit& unit, Length travel);  // travel >= 0
Rate unit_rate(const SuspensionUnit& unit, Length travel);    // dF/dx, exact
// Air volume above the oil in one fork leg, topped out. The mechanic sets the oil level as the distance from
// oil to top of tube, leg fully compressed, spring out. Fitting the spring takes away the volume of its wire.
// Extending the leg adds bore area times travel.
struct OilLevel {
    Length bore, level, travel;
    Volume spring_wire;
};
Volume air_volume(const OilLevel& oil);
// Spring length left before the coils touch, at full travel; with a helper, of the stiffer spring. If the two
// legs differ: the smaller one, or the known one. nullopt: block length or travel unknown.
std::optional<Length> block_margin(const SuspensionUnit& unit);

}  // namespace restand
