#include "core/ledger/swap_table.h"

namespace restand::swap_table {
namespace {

using P = Point;

// clang-format off
// First at the standing bike, then with the old unit on the bench.
constexpr Line before_lines[] = {
    {P::ride_height_topped_out,  all,                    none,                refit},
    {P::ride_height_static,      none,                   all},
    {P::ride_height_rider,       stands,                 refit},
    {P::fuel,                    none,                   stands},
    {P::rider_mass,              none,                   stands},
    {P::wheel_weight,            none,                   stands},
    {P::damper_temperature,      none,                   units | springs},
    {P::fitted_mass,             load,                   none,                load},
    {P::fitted_mass_ahead,       none,                   load},
    {P::fork_position,           front & ~load_front,    load_front},
    {P::chain_slack,             refit,                  rear,                refit},
    {P::axle_position,           refit,                  rear,                refit},
    {P::clicks_compression_low,  none,                   units | springs},
    {P::clicks_compression_high, none,                   units | springs},
    {P::clicks_rebound_low,      none,                   units | springs},
    {P::clicks_rebound_high,     none,                   units | springs},
    {P::sprocket_front,          refit,                  rear,                refit},
    {P::sprocket_rear,           refit,                  rear,                refit},
    {P::chain_links,             refit,                  rear,                refit},
    {P::tyre,                    none,                   all},
    {P::rolling_circumference,   none,                   tyres},
    {P::tyre_pressure_cold,      none,                   all},
    {P::link_rod,                rod,                    none,                rod},
    {P::fork_oil_level,          oil,                    fork | fork_springs, oil},
    {P::fork_bore,               oil,                    fork | fork_springs, oil},
    {P::eye_to_eye,              shock | shock_spring | rod | rear_tyre | load, refit, rod | rear_tyre},
    {P::fork_length,             none,                   front},
    {P::spring_free_length,      units | springs,        all},
    {P::spring_installed_length, units | springs,        all},
    {P::spring_preload,          none,                   all},
    {P::preload_turns,           none,                   units | springs | loads},
    {P::collar_mm_per_turn,      none,                   units | springs | loads},
    {P::spring_rate,             units | springs | loads, all},
    {P::gas_force,               shock,                  all},
    {P::travel,                  oil,                    none,                oil},
    {P::unsprung_mass,           none,                   stands},
    {P::top_out_rate,            none,                   stands},
    {P::top_out_reach,           none,                   stands},
    {P::end_rate,                none,                   stands},
    {P::rate_rises_from,         none,                   stands},
    {P::rate_rises_to,           none,                   stands},
    {P::helper_rate,             none,                   stands},
    {P::helper_free_length,      none,                   stands},
    {P::helper_block_length,     none,                   stands},
    {P::other_leg_rate,          none,                   front & stands},
    {P::bump_travel,             none,                   stands},
    {P::bump_rate,               none,                   stands},
    {P::rod_diameter,            none,                   rear & stands},
    {P::gas_volume,              none,                   rear & stands},
};
// If only the spring is new, travel is that of the old unit; it gives the margin to block length. The
// installed length as found is needed only for the turns; the answer gives the length to set without it.
constexpr Line new_part_lines[] = {
    {P::part_name,               none,                   units},
    {P::spring_moved,            none,                   units},
    {P::eye_to_eye,              shock,                  none},
    {P::eye_to_eye_min,          none,                   shock | rod | rear_tyre | refit},
    {P::eye_to_eye_max,          none,                   shock | rod | rear_tyre | refit},
    {P::length_mm_per_turn,      none,                   shock | rod | rear_tyre | refit},
    {P::fork_length,             none,                   fork},
    {P::fork_position,           none,                   fork},
    {P::fork_position_min,       none,                   fork | front_tyre},
    {P::fork_position_max,       none,                   fork | front_tyre},
    {P::travel,                  none,                   units | springs},
    {P::gas_force,               shock,                  fork},
    {P::spring_rate,             units | springs,        none},
    {P::spring_free_length,      units | springs,        none},
    {P::spring_block_length,     none,                   units | springs},
    {P::spring_installed_length, none,                   units | springs},
    {P::spring_preload,          none,                   units | springs},
    {P::preload_turns,           none,                   units | springs},
    {P::collar_mm_per_turn,      none,                   units | springs | oil},
    {P::fork_oil_level,          oil,                    fork | fork_springs, oil},
    {P::fork_bore,               none,                   fork},
    {P::link_rod,                rod,                    none,                rod},
    {P::tyre,                    none,                   tyres},
    {P::rolling_circumference,   none,                   tyres},
    {P::sprocket_front,          none,                   sprockets},  // one of the two is enough: missing()
    {P::sprocket_rear,           none,                   sprockets},
    {P::chain_links,             chain,                  sprockets,           chain},
    {P::fitted_mass,             load,                   none,                load},
    {P::fitted_mass_ahead,       none,                   load},
    {P::top_out_rate,            none,                   units},
    {P::top_out_reach,           none,                   units},
    {P::end_rate,                none,                   units | springs},
    {P::rate_rises_from,         none,                   units | springs},
    {P::rate_rises_to,           none,                   units | springs},
    {P::helper_rate,             none,                   units | springs},
    {P::helper_free_length,      none,                   units | springs},
    {P::helper_block_length,     none,                   units | springs},
    {P::other_leg_rate,          none,                   fork | fork_springs},
    {P::bump_travel,             none,                   units},
    {P::bump_rate,               none,                   units},
    {P::rod_diameter,            none,                   shock},
    {P::gas_volume,              none,                   shock},
};
// Every setting that the answer changes is read after it was set. A setting that is not read counts as not
// moved.
constexpr Line set_lines[] = {
    {P::eye_to_eye,              shock | rod | rear_tyre, shock_spring,       shock | rod | rear_tyre},
    {P::fork_position,           fork | front_tyre,      fork_springs | oil,  fork | front_tyre},
    {P::spring_installed_length, stands,                 none},                // or its preload: missing()
    {P::spring_preload,          none,                   stands},
    {P::chain_links,             refit,                  none,                refit},
    {P::axle_position,           refit,                  rear & ~refit,       refit},
    {P::chain_slack,             none,                   rear},               // read with the axle as set
    {P::clicks_compression_low,  none,                   units | springs},
    {P::clicks_compression_high, none,                   units | springs},
    {P::clicks_rebound_low,      none,                   units | springs},
    {P::clicks_rebound_high,     none,                   units | springs},
};
constexpr Line check_lines[] = {
    {P::ride_height_topped_out,  stands,                 refit},
    {P::ride_height_static,      none,                   all},
    {P::ride_height_rider,       stands,                 refit},
    {P::fuel,                    none,                   stands},
    {P::rider_mass,              none,                   stands},
    {P::wheel_weight,            none,                   stands},
    {P::damper_temperature,      none,                   units | springs},
    {P::chain_slack,             refit,                  rear,                refit},
};
// clang-format on

constexpr OneOf either[] = {
    {Phase::new_part, sprockets, P::sprocket_front, P::sprocket_rear, true},
    {Phase::new_part, rear_tyre, P::rolling_circumference, P::tyre, false},
    {Phase::new_part, front_tyre, P::rolling_circumference, P::tyre, false},
    {Phase::set, stands, P::spring_preload, P::spring_installed_length, true},
};

}  // namespace

std::span<const Line> lines(Phase phase) {
    switch (phase) {
        case Phase::before:
            return before_lines;
        case Phase::new_part:
            return new_part_lines;
        case Phase::set:
            return set_lines;
        case Phase::check:
            return check_lines;
    }
    return {};
}

std::span<const OneOf> one_of() {
    return either;
}

}  // namespace restand::swap_table
