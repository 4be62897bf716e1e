#pragma once
// Force of a suspension unit (a damper with its spring, or both fork legs) as a function of its travel.
//
//     eye o======[ body ]==rod==o eye        length: at its top-out stop, as set; travel x: compression from
//         |<------ length − x ------>|       there; force positive in compression
//
//   F(x) = Σ over legs [ F_spring(preload + x) ] + F_gas(x) + F_bump(x) − F_top(x)
//   preload = free − installed length;  F_top(x) = k_t·max(0, reach − x)
//   two springs in series: 1/k = 1/k1 + 1/k2 until the softer one closes, then the stiffer one alone
//   reservoir gas: F = A·(p_abs·(V0/(V0 − A·x))^n − p_atm);  fork air: the same, with the leg's bore area
//
// A top-out spring pushes the unit shorter over the first `reach` of travel. Unloaded, the unit then hangs
// where F(x) = 0, not at its stop, and preload moves that length. A mechanic reads the unloaded unit; both
// adjusters move the length and the installed length at the stop, turn by turn. So a unit has both at the
// stop, and at_stop() makes it from readings. Without a top-out spring both are the same.
//
// Simplifications: no friction, no damping; top-out spring linear; gas at one temperature.
// Sources: Shigley 10th ed. ch. 4 and 10 (springs), Dixon 2nd ed. (gas force).

#include <optional>
#include <vector>

#include "core/quantity/conversions.h"
#include "core/quantity/quantity.h"
#include "core/quantity/result.h"

namespace restand {

inline constexpr Pressure atmosphere = megapascal(0.101325);

struct SpringPoint {
    Length deflection;
    Force force;
};

struct Spring {
    Rate rate;                           // of one spring, > 0
    Length free_length;                  // off the bike, unloaded
    std::optional<Length> block_length;  // length with the coils touching
    // Progressive spring, in place of `rate`: both rise, from 0 at 0; linear between points, and beyond the
    // last one. Not together with a helper.
    std::vector<SpringPoint> table{};
};

struct TopOutSpring {
    Rate rate;     // > 0
    Length reach;  // travel over which it pushes, > 0
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
    Length length;                 // at the stop, as set now: eye to eye; fork: axle to yoke
    std::optional<Length> travel;  // from the stop; unknown = not limited
    int legs = 1;                  // equal legs: 1 shock, 2 fork
    Spring spring;                 // of each leg
    Length installed_length;       // of the spring, at the stop
    // Second spring in series. `installed_length` then covers both springs.
    std::optional<Spring> helper;
    std::optional<Leg> other_leg{};  // fork with two different legs; `legs` is then ignored
    Gas gas;                         // of the whole unit
    std::vector<BumpPoint> bump;     // of the whole unit, in order of rising travel
    std::optional<TopOutSpring> top_out{};  // of the whole unit
};

Length free_length(const SuspensionUnit& unit);  // of spring and helper together
Length preload(const SuspensionUnit& unit);  // free − installed; negative: loose spring
// How much longer the spring can be set before it is loose in the unloaded unit: the preload, and with a
// top-out spring also the travel that this takes up against the gas alone. The smaller one, if the two legs
// differ.
Length least_preload(const SuspensionUnit& unit);
Length unloaded_travel(const SuspensionUnit& unit);  // where F = 0; 0 without a top-out spring
// From a unit whose length and installed length were read unloaded. Travel, bump rubber and gas force stay
// counted from the stop.
SuspensionUnit at_stop(SuspensionUnit as_read);
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
// Gas sealed in at one temperature, at another: its absolute pressure rises as the absolute temperature, at
// the same volume (Gay-Lussac): F = A·(p_abs·T/T0 − p_atm). `rod`: area of the rod; used without a chamber.
// Errors: missing (neither chamber nor rod), out_of_range (not above absolute zero).
struct GasTemperatures {
    double sealed_c, now_c;  // °C
    std::optional<Area> rod{};
};
Result<Gas> at_temperature(const Gas& gas, const GasTemperatures& at);
// Spring length left before the coils touch, at full travel; with a helper, of the stiffer spring. If the two
// legs differ: the smaller one, or the known one. nullopt: block length or travel unknown.
std::optional<Length> block_margin(const SuspensionUnit& unit);

}  // namespace restand
