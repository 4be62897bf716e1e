#pragma once
// The suspension unit: a damper with its spring, or both fork legs. With which force does it push back?
//
//     eye o======[ body ]==rod==o eye        length: topped out, as set; travel x: compressed from there
//         |<------ length − x ------>|       force positive in compression
//
//   F(x) = Σ over legs [ F_spring(preload + x) ] + F_gas(x) + F_bump(x),   preload = free − installed length
//   two springs in series: 1/k = 1/k1 + 1/k2 until the softer is closed, then the stiffer alone
//   reservoir gas: F = A·(p_abs·(V0/(V0 − A·x))^n − p_atm);  fork air the same with the leg's bore area
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
    Length free_length;                  // loose on the bench
    std::optional<Length> block_length;  // coils touching
};

// Compressed gas behind a piston of `area`. Without a volume the force does not rise with travel.
struct Gas {
    Force topped_out;  // on the rod at travel 0, >= 0
    struct Chamber {
        Area area;
        Volume volume;
        double exponent = 1.0;
    };
    std::optional<Chamber> chamber;  // absolute pressure follows from `topped_out` and the atmosphere
};

// The other fork leg, where it differs from the first. Both caps are turned alike, so its spring stays longer than
// the first one's by the same amount.
struct Leg {
    Spring spring;
    Length installed_more;
};

struct BumpPoint {
    Length travel;
    Force force;
};  // rubber: straight between points, 0 before the first

struct SuspensionUnit {
    Length length;                 // topped out, as set now: eye to eye, or axle to yoke for a fork
    std::optional<Length> travel;  // available; unknown = not limited
    int legs = 1;                  // equal legs: 1 shock, 2 fork
    Spring spring;                 // of each leg
    Length installed_length;       // of the spring, topped out
    // Second spring in series, its free length already in `installed_length`
    std::optional<Spring> helper;
    std::optional<Leg> other_leg{};  // of a fork with two unlike legs; `legs` counts no more
    Gas gas;                         // of the whole unit
    std::vector<BumpPoint> bump;     // of the whole unit, rising travel
};

Length preload(const SuspensionUnit& unit);        // free − installed; negative = loose spring
Length least_preload(const SuspensionUnit& unit);  // of both legs, where they differ
Force gas_force(const Gas& gas, Length travel);
Force unit_force(const SuspensionUnit& unit, Length travel);  // travel >= 0
Rate unit_rate(const SuspensionUnit& unit, Length travel);    // dF/dx, exact
// Air over the oil in one fork leg, topped out, from the level a mechanic sets: oil to the top of the tube, leg
// pushed together, spring out. The spring then takes its wire's volume; pulled out, the leg gains bore area times
// travel.
struct OilLevel {
    Length bore, level, travel;
    Volume spring_wire;
};
Volume air_volume(const OilLevel& oil);
// Spring length left before the coils touch, at full travel; nullopt while block length or travel is unknown.
// Of two unlike legs the lesser.
std::optional<Length> block_margin(const SuspensionUnit& unit);

}  // namespace restand
