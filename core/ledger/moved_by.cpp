#include "core/ledger/moved_by.h"

namespace restand {
namespace {

MovedBy wheel_hanging(Point setting) {
    switch (setting) {
        case Point::eye_to_eye:
        case Point::link_rod:
            return {.topped_out = true, .loaded = true, .slack = true};
        case Point::fork_length:
        case Point::fork_position:
            return {.topped_out = true, .loaded = true};
        case Point::gas_force:
        case Point::spring_rate:
        case Point::spring_free_length:
        case Point::spring_installed_length:
        case Point::spring_preload:
        case Point::preload_turns:
        case Point::fork_oil_level:
        case Point::helper_rate:
        case Point::end_rate:
        case Point::rate_rises_from:
        case Point::rate_rises_to:
        case Point::helper_free_length:
        case Point::helper_block_length:
        case Point::other_leg_rate:
        case Point::bump_travel:
        case Point::bump_rate:
        case Point::rod_diameter:
        case Point::gas_volume:
        case Point::fitted_mass:
        case Point::fitted_mass_ahead:
            return {.loaded = true};
        case Point::unsprung_mass:
        case Point::top_out_rate:
        case Point::top_out_reach:
            return {.topped_out = true, .loaded = true, .slack = true};
        case Point::axle_position:
        case Point::chain_links:
        case Point::sprocket_front:
        case Point::sprocket_rear:
            return {.slack = true};
        default:
            return {};
    }
}

}  // namespace

MovedBy moved_by(Point setting, Stand slack_stand) {
    MovedBy moved = wheel_hanging(setting);
    if (slack_stand == Stand::swingarm && moved.loaded) moved.slack = true;
    return moved;
}

bool moves(Point setting, Point read, Stand slack_stand) {
    const MovedBy moved = moved_by(setting, slack_stand);
    switch (read) {
        case Point::ride_height_topped_out:
            return moved.topped_out;
        case Point::ride_height_static:
        case Point::ride_height_rider:
            return moved.loaded;
        case Point::chain_slack:
            return moved.slack;
        default:
            return false;
    }
}

}  // namespace restand
