#include "core/ledger/reading_at_fault.h"

#include <algorithm>
#include <string_view>

namespace restand {
namespace {

using P = Point;

// `front`: the reading at the front, where another one is behind the field.
struct FieldReading {
    std::string_view field;
    Point rear, front = rear;
};
constexpr FieldReading of_unit[] = {{"eye_to_eye_mm", P::eye_to_eye, P::fork_position},
                                    {"eye_to_eye_mm.now", P::eye_to_eye, P::fork_position},
                                    {"eye_to_eye_mm.min", P::eye_to_eye_min, P::fork_position_max},
                                    {"eye_to_eye_mm.max", P::eye_to_eye_max, P::fork_position_min},
                                    {"eye_to_eye_mm.mm_per_turn", P::length_mm_per_turn},
                                    {"travel_mm", P::travel},
                                    {"gas_force_n", P::gas_force},
                                    {"spring.rate_n_per_mm", P::spring_rate},
                                    {"spring.free_length_mm", P::spring_free_length},
                                    {"spring.block_length_mm", P::spring_block_length},
                                    {"spring.installed_length_mm", P::spring_installed_length},
                                    {"spring.installed_length_now_mm", P::spring_installed_length},
                                    {"spring.collar_mm_per_turn", P::collar_mm_per_turn},
                                    {"spring.force_table", P::end_rate},
                                    {"helper_spring.rate_n_per_mm", P::helper_rate},
                                    {"helper_spring.free_length_mm", P::helper_free_length},
                                    {"helper_spring.block_length_mm", P::helper_block_length},
                                    {"other_leg.rate_n_per_mm", P::other_leg_rate},
                                    {"other_leg.free_length_mm", P::spring_free_length},
                                    {"other_leg.block_length_mm", P::spring_block_length},
                                    {"top_out_spring.rate_n_per_mm", P::top_out_rate},
                                    {"top_out_spring.reach_mm", P::top_out_reach},
                                    {"bump_rubber.1", P::bump_travel},
                                    {"bump_rubber.2", P::bump_rate},
                                    {"reservoir.area_mm2", P::rod_diameter, P::fork_bore},
                                    {"reservoir.volume_mm3", P::gas_volume, P::fork_oil_level}};
constexpr FieldReading heights[] = {{"topped_out", P::ride_height_topped_out},
                                    {"static", P::ride_height_static},
                                    {"rider", P::ride_height_rider}};

template <std::size_t N>
std::optional<ReadAt> found(const FieldReading (&in)[N], std::string_view field, Phase phase, End end) {
    for (const FieldReading& one : in)
        if (one.field == field) return ReadAt{phase, end, end == End::rear ? one.rear : one.front};
    return std::nullopt;
}

// {new_part, rear, travel} for "new_unit.travel_mm" of the rear.
std::optional<ReadAt> reading_of_field(std::string_view path, End end) {
    const auto after = [path](std::string_view start) {
        return path.starts_with(start) ? path.substr(start.size()) : std::string_view();
    };
    if (const auto field = after("baseline.ride_height_mm."); !field.empty())
        return found(heights, field, Phase::before, end);
    if (const auto field = after("baseline.unit."); !field.empty())
        return found(of_unit, field, Phase::before, end);
    return found(of_unit, after("new_unit."), Phase::new_part, end);
}

}  // namespace

std::optional<ReadAt> reading_at_fault(const Error& error, End end, const Swap* swap) {
    if (error.code == ErrorCode::missing)
        for (const Phase phase : all_phases)
            if (const auto point = point_of_key(error.subject); point && error.detail == key(phase))
                return ReadAt{phase, end, *point};
    auto spot = reading_of_field(error.subject, end);
    if (!spot || !swap || spot->phase != Phase::new_part) return spot;
    const auto of_part = asked(*swap, Phase::new_part);
    const bool read_there = std::any_of(of_part.begin(), of_part.end(), [&](const Asked& one) {
        return one.end == end && one.point == spot->point;
    });
    if (!read_there) spot->phase = Phase::before;
    return spot;
}

Error named_by_reading(Error error, End end) {
    if (const auto spot = reading_at_fault(error, end)) error.subject = facts(spot->point).key;
    if (error.code == ErrorCode::missing) error.detail = key(end);
    return error;
}

}  // namespace restand
