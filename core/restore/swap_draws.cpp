// One pass over the draws of a block for each step; each is a plain loop of constant length, so the compiler
// vectorises it (core/CMakeLists.txt). No angle is needed: the linkage is asked by the sine of the droop.

#include "core/restore/swap_draws.h"

#include <cmath>
#include <limits>

#include "core/machine/linkage_kernel.h"
#include "core/quantity/conversions.h"

namespace restand {
namespace {

using Lane = double[block_draws];

// The linkage of each draw, as LinkageConstants.
struct LaneLinkage {
    LinkageConstants nominal;
    Lane base_frame_x, base_frame_z, base_arm_x, base_arm_z, arm_squared, rod, to_unit_x, to_unit_z;
};
struct LanePlaces {
    Lane cosine, length, slope, bend;
};

template <bool has_rocker>
void places(const LaneLinkage& linkage, const Lane& sine, LanePlaces& out) {
    for (std::size_t d = 0; d < block_draws; ++d) {
        LinkageConstants k = linkage.nominal;
        k.unit_base = {{linkage.base_frame_x[d], linkage.base_frame_z[d]},
                       {linkage.base_arm_x[d], linkage.base_arm_z[d]}};
        k.arm_squared = linkage.arm_squared[d];
        k.to_unit = {linkage.to_unit_x[d], linkage.to_unit_z[d]};
        const double cosine = std::sqrt(1.0 - sine[d] * sine[d]);
        const auto at = linkage_terms_at<has_rocker, double>(k, cosine, sine[d], linkage.rod[d]);
        out.cosine[d] = cosine;
        out.length[d] = at.length;
        out.slope[d] = at.slope;
        out.bend[d] = at.bend;
    }
}

struct Swap {
    LinkageConstants constants;
    Linkage linkage;
    double topped_out_sine;  // of the nominal droop, where the search begins
};

// The inputs of one block by name.
struct Drawn {
    const BlockValues& x;
    const double* operator[](DrawInput input) const { return x[static_cast<std::size_t>(input)]; }
};

void put_linkage(const Swap& swap, const Drawn& x, LaneLinkage& out) {
    const LinkageConstants& k = out.nominal = swap.constants;
    const Vec<double> unit_end = vec<double>(swap.linkage.unit_end.at);
    const double on_arm = swap.linkage.unit_end.on == Carrier::arm ? 1.0 : 0.0, on_frame = 1.0 - on_arm;
    const double turn_x = swap.linkage.rocker ? cos(swap.linkage.rocker->spread) : 0.0,
                 turn_z = swap.linkage.rocker ? sin(swap.linkage.rocker->spread) : 0.0;
    const double *end_x = x[DrawInput::unit_end_x], *end_z = x[DrawInput::unit_end_z],
                 *to_rod = x[DrawInput::pivot_to_rod], *to_unit = x[DrawInput::pivot_to_unit],
                 *rod = x[DrawInput::rod];
    for (std::size_t d = 0; d < block_draws; ++d) {
        const double by_x = end_x[d] - unit_end.x, by_z = end_z[d] - unit_end.z;
        out.base_frame_x[d] = k.unit_base.frame.x - on_frame * by_x;
        out.base_frame_z[d] = k.unit_base.frame.z - on_frame * by_z;
        out.base_arm_x[d] = k.unit_base.arm.x - on_arm * by_x;
        out.base_arm_z[d] = k.unit_base.arm.z - on_arm * by_z;
        out.arm_squared[d] = to_rod[d] * to_rod[d];
        out.rod[d] = rod[d];
        const double ratio = to_unit[d] / to_rod[d];
        out.to_unit_x[d] = ratio * turn_x;
        out.to_unit_z[d] = ratio * turn_z;
    }
}

// 1. Sine of the droop at the old unit's length. Two steps of third order from the nominal one: inputs vary by
// millimetres, so the second step is already far below rounding.
template <bool has_rocker>
void find_topped_out(const Swap& swap, const Drawn& x, const LaneLinkage& linkage, LanePlaces& at,
                     Lane& sine) {
    const double* wanted = x[DrawInput::old_length];
    for (double& s : sine) s = swap.topped_out_sine;
    for (int round = 0; round < 2; ++round) {
        places<has_rocker>(linkage, sine, at);
        for (std::size_t d = 0; d < block_draws; ++d) {
            const double inverse = 1.0 / at.cosine[d], by_sine = at.slope[d] * inverse;
            const double bend = (at.bend[d] + by_sine * sine[d]) * inverse * inverse;
            const double step = (at.length[d] - wanted[d]) / by_sine;
            sine[d] -= step * (1.0 + 0.5 * bend / by_sine * step);
        }
    }
}

// 2. Wheel load from the old unit at a height `over` the topped-out one, times the load's scale.
template <bool has_rocker>
void weigh(const Drawn& x, const LaneLinkage& linkage, const Lane& sine, LanePlaces& at, Lane& load) {
    const double *rate = x[DrawInput::old_rate], *free = x[DrawInput::old_free_length],
                 *installed = x[DrawInput::old_installed], *gas = x[DrawInput::old_gas],
                 *length = x[DrawInput::old_length], *arm = x[DrawInput::arm],
                 *scale = x[DrawInput::load_scale];
    places<has_rocker>(linkage, sine, at);
    for (std::size_t d = 0; d < block_draws; ++d) {
        const double travel = length[d] - at.length[d], pushed = free[d] - installed[d] + travel;
        const bool carries = pushed > 0.0 && travel > 0.0 && at.slope[d] > 0.0;
        const double force = (rate[d] * pushed + gas[d]) * at.slope[d] / (arm[d] * at.cosine[d]);
        load[d] = carries ? force * scale[d] : std::numeric_limits<double>::quiet_NaN();
    }
}

// 3. The preload with which the new unit carries the load at this droop.
template <bool has_rocker>
void preload_at(const Drawn& x, const LaneLinkage& linkage, const Lane& sine, const Lane& load,
                LanePlaces& at, Lane& preload) {
    const double *rate = x[DrawInput::new_rate], *gas = x[DrawInput::new_gas],
                 *length = x[DrawInput::new_length], *arm = x[DrawInput::arm];
    places<has_rocker>(linkage, sine, at);
    for (std::size_t d = 0; d < block_draws; ++d) {
        const double force = load[d] * (arm[d] * at.cosine[d]) / at.slope[d];
        const double pushed = (force - gas[d]) / rate[d], travel = length[d] - at.length[d];
        const bool carries = pushed > 0.0 && travel > 0.0 && at.slope[d] > 0.0;
        preload[d] = carries ? pushed - travel : std::numeric_limits<double>::quiet_NaN();
    }
}

// 4. The droop at which the new unit carries the load: Newton on F·dl/dα − W·L·cos α, from `sine`.
template <bool has_rocker>
void stand(const Drawn& x, const LaneLinkage& linkage, const Lane& preload, const Lane& load, LanePlaces& at,
           Lane& sine) {
    const double *rate = x[DrawInput::new_rate], *gas = x[DrawInput::new_gas],
                 *length = x[DrawInput::new_length], *arm = x[DrawInput::arm];
    Lane last;
    for (int round = 0; round < 3; ++round) {
        places<has_rocker>(linkage, sine, at);
        for (std::size_t d = 0; d < block_draws; ++d) {
            const double force = rate[d] * (preload[d] + length[d] - at.length[d]) + gas[d];
            const double moment = load[d] * arm[d];
            const double left = force * at.slope[d] - moment * at.cosine[d];
            const double by = force * at.bend[d] - rate[d] * at.slope[d] * at.slope[d] + moment * sine[d];
            const double step = left / by;
            sine[d] -= step * (at.cosine[d] + 0.5 * step * sine[d]);
            last[d] = std::fabs(step);
        }
    }
    for (std::size_t d = 0; d < block_draws; ++d) {
        const bool stands =
            last[d] < 1e-6 && at.length[d] < length[d] && preload[d] + length[d] - at.length[d] > 0.0;
        sine[d] = stands ? sine[d] : std::numeric_limits<double>::quiet_NaN();
    }
}

template <bool has_rocker>
void swap_block(const Swap& swap, const Drawn& x, BlockValues& y) {
    LaneLinkage linkage;
    LanePlaces at;
    put_linkage(swap, x, linkage);
    Lane top, sine, after, static_load, rider_load, preload;
    find_topped_out<has_rocker>(swap, x, linkage, at, top);
    const double *topped_out = x[DrawInput::topped_out], *raise = x[DrawInput::raise],
                 *arm = x[DrawInput::arm], *rider = x[DrawInput::rider], *still = x[DrawInput::static_];
    const auto sine_at = [&](const double* height) {
        for (std::size_t d = 0; d < block_draws; ++d) {
            sine[d] = top[d] + (height[d] - topped_out[d]) / arm[d];
            after[d] = sine[d] + raise[d] / arm[d];
        }
    };
    sine_at(rider);
    weigh<has_rocker>(x, linkage, sine, at, rider_load);
    preload_at<has_rocker>(x, linkage, after, rider_load, at, preload);
    sine_at(still);
    weigh<has_rocker>(x, linkage, sine, at, static_load);
    stand<has_rocker>(x, linkage, preload, static_load, at, after);
    const double* free = x[DrawInput::new_free_length];
    double *installed = y[static_cast<std::size_t>(DrawOutput::installed)],
           *change = y[static_cast<std::size_t>(DrawOutput::static_change)];
    for (std::size_t d = 0; d < block_draws; ++d) {
        change[d] = (after[d] - sine[d]) * arm[d];
        installed[d] = free[d] - preload[d] + 0.0 * change[d];  // a draw is refused as a whole
    }
}

}  // namespace

Result<BlockModel> swap_draws(const Linkage& linkage, const DrawInputs& nominal) {
    Linkage at = linkage;
    const auto input = [&](DrawInput which) { return nominal[static_cast<std::size_t>(which)]; };
    at.unit_end.at = {mm(input(DrawInput::unit_end_x)), mm(input(DrawInput::unit_end_z))};
    if (at.rocker) {
        at.rocker->rod = mm(input(DrawInput::rod));
        at.rocker->pivot_to_rod = mm(input(DrawInput::pivot_to_rod));
        at.rocker->pivot_to_unit = mm(input(DrawInput::pivot_to_unit));
    }
    const auto map = LinkageMap::of(at);
    if (!map) return map.error();
    const auto top = map->found_at(mm(input(DrawInput::old_length)));
    if (!top) return top.error();
    const Swap swap{map->constants(), at, top->sine};
    if (at.rocker)
        return BlockModel([swap](const BlockValues& x, BlockValues& y) { swap_block<true>(swap, {x}, y); });
    return BlockModel([swap](const BlockValues& x, BlockValues& y) { swap_block<false>(swap, {x}, y); });
}

}  // namespace restand
