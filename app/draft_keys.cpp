#include "app/draft_keys.h"

#include <algorithm>
#include <charconv>
#include <iterator>

namespace restand {
namespace {

template <class E>
struct Keyed {
    E value;
    std::string_view key;
};

template <class E>
struct KeyTable;

// Rows stand in the order that versions 1 and 2 numbered; new rows go to the end.
// clang-format off
template <>
struct KeyTable<Screen> {
    static constexpr Keyed<Screen> rows[] = {
        {Screen::bikes, "bikes"}, {Screen::bike, "bike"}, {Screen::bike_form, "bike_form"}, {Screen::swap, "swap"},
        {Screen::baselines, "baselines"}, {Screen::baseline, "baseline"}, {Screen::people, "people"},
        {Screen::settings, "settings"}, {Screen::history, "history"}, {Screen::moment, "moment"},
        {Screen::change, "change"}, {Screen::event, "event"}, {Screen::compare, "compare"}, {Screen::plan, "way"},
        {Screen::trend, "trend"}, {Screen::parts, "parts"}, {Screen::devices, "devices"}, {Screen::table, "table"},
        {Screen::attitude, "attitude"}, {Screen::chain, "chain"}, {Screen::choose, "choose"},
        {Screen::shelf, "shelf"}, {Screen::item, "item"}, {Screen::which_spring, "which_spring"},
        {Screen::keys, "keys"}, {Screen::jobs, "jobs"}, {Screen::job, "job"}, {Screen::ready, "ready"}};
};
template <>
struct KeyTable<Field::Of> {
    static constexpr Keyed<Field::Of> rows[] = {
        {Field::Of::reading, "reading"}, {Field::Of::bike, "bike"}, {Field::Of::person, "person"},
        {Field::Of::reason, "reason"}, {Field::Of::where, "where"}, {Field::Of::change, "change"},
        {Field::Of::plan, "way"}, {Field::Of::event, "event"}, {Field::Of::part, "part"}, {Field::Of::find, "find"},
        {Field::Of::device, "device"}, {Field::Of::folder, "folder"}, {Field::Of::tried, "tried"},
        {Field::Of::shelf, "shelf"}, {Field::Of::job, "job"}};
};
template <>
struct KeyTable<BikeField> {
    static constexpr Keyed<BikeField> rows[] = {
        {BikeField::name, "name"}, {BikeField::note, "note"}, {BikeField::rear_leverage, "rear_leverage"},
        {BikeField::front_leverage, "front_leverage"}, {BikeField::rear_tolerance, "rear_tolerance"},
        {BikeField::front_tolerance, "front_tolerance"}, {BikeField::rake, "rake"},
        {BikeField::swingarm, "swingarm"}, {BikeField::wheelbase, "wheelbase"},
        {BikeField::rear_wheel_radius, "rear_wheel_radius"}, {BikeField::front_wheel_radius, "front_wheel_radius"},
        {BikeField::offset, "offset"}, {BikeField::pivot_height, "pivot_height"},
        {BikeField::pair_length, "pair_length"}, {BikeField::pair_height, "pair_height"},
        {BikeField::chain_limit, "chain_limit"}, {BikeField::sprocket_x, "sprocket_x"},
        {BikeField::sprocket_z, "sprocket_z"}, {BikeField::slot_length, "slot_length"},
        {BikeField::unit_frame_x, "unit_frame_x"}, {BikeField::unit_frame_z, "unit_frame_z"},
        {BikeField::unit_arm_x, "unit_arm_x"}, {BikeField::unit_arm_z, "unit_arm_z"},
        {BikeField::rocker_x, "rocker_x"}, {BikeField::rocker_z, "rocker_z"}, {BikeField::rod_end_x, "rod_end_x"},
        {BikeField::rod_end_z, "rod_end_z"}, {BikeField::rod, "rod"}, {BikeField::pivot_to_rod, "pivot_to_rod"},
        {BikeField::pivot_to_unit, "pivot_to_unit"}, {BikeField::spread, "spread"},
        {BikeField::chain_pitch, "chain_pitch"}, {BikeField::primary, "primary"}, {BikeField::gear_1, "gear_1"},
        {BikeField::gear_2, "gear_2"}, {BikeField::gear_3, "gear_3"}, {BikeField::gear_4, "gear_4"},
        {BikeField::gear_5, "gear_5"}, {BikeField::gear_6, "gear_6"}, {BikeField::rpm, "rpm"}};
};
template <>
struct KeyTable<EventField> {
    static constexpr Keyed<EventField> rows[] = {
        {EventField::day, "day"}, {EventField::circuit, "circuit"}, {EventField::session, "session"},
        {EventField::weather, "weather"}, {EventField::tyre, "tyre"}, {EventField::words, "words"},
        {EventField::distance, "distance"}, {EventField::running, "running"}, {EventField::air, "air"},
        {EventField::track, "track"}};
};
template <>
struct KeyTable<PartField> {
    static constexpr Keyed<PartField> rows[] = {
        {PartField::name, "name"}, {PartField::limit_km, "limit_km"}, {PartField::limit_h, "limit_h"},
        {PartField::used_km, "used_km"}, {PartField::used_h, "used_h"}};
};
template <>
struct KeyTable<JobField> {
    static constexpr Keyed<JobField> rows[] = {
        {JobField::what, "what"}, {JobField::why, "why"}, {JobField::part, "part"}, {JobField::from, "from"},
        {JobField::ordered, "ordered"}, {JobField::due, "due"}, {JobField::planned, "planned"},
        {JobField::taken, "taken"}};
};
template <>
struct KeyTable<End> {
    static constexpr Keyed<End> rows[] = {{End::rear, "rear"}, {End::front, "front"}};
};
template <>
struct KeyTable<Phase> {
    static constexpr Keyed<Phase> rows[] = {
        {Phase::before, "before"}, {Phase::new_part, "new_part"}, {Phase::set, "set"}, {Phase::check, "check"}};
};
template <>
struct KeyTable<Point> {
    static constexpr Keyed<Point> rows[] = {
        {Point::ride_height_topped_out, "ride_height_topped_out"},
        {Point::ride_height_static, "ride_height_static"}, {Point::ride_height_rider, "ride_height_rider"},
        {Point::eye_to_eye, "eye_to_eye"}, {Point::eye_to_eye_min, "eye_to_eye_min"},
        {Point::eye_to_eye_max, "eye_to_eye_max"}, {Point::length_mm_per_turn, "length_mm_per_turn"},
        {Point::fork_length, "fork_length"}, {Point::fork_position, "fork_position"},
        {Point::fork_position_min, "fork_position_min"}, {Point::fork_position_max, "fork_position_max"},
        {Point::travel, "travel"}, {Point::gas_force, "gas_force"}, {Point::spring_rate, "spring_rate"},
        {Point::spring_free_length, "spring_free_length"},
        {Point::spring_installed_length, "spring_installed_length"},
        {Point::spring_block_length, "spring_block_length"}, {Point::collar_mm_per_turn, "collar_mm_per_turn"},
        {Point::clicks_compression_low, "clicks_compression_low"},
        {Point::clicks_compression_high, "clicks_compression_high"},
        {Point::clicks_rebound_low, "clicks_rebound_low"}, {Point::clicks_rebound_high, "clicks_rebound_high"},
        {Point::chain_slack, "chain_slack"}, {Point::axle_position, "axle_position"},
        {Point::sprocket_front, "sprocket_front"}, {Point::sprocket_rear, "sprocket_rear"},
        {Point::chain_links, "chain_links"}, {Point::tyre_pressure_cold, "tyre_pressure_cold"},
        {Point::tyre_pressure_hot, "tyre_pressure_hot"}, {Point::chain_gauge_length, "chain_gauge_length"},
        {Point::chain_gauge_links, "chain_gauge_links"}, {Point::ride_height_lifted, "ride_height_lifted"},
        {Point::ride_height_pressed, "ride_height_pressed"}, {Point::tyre, "tyre"}, {Point::part_name, "part_name"},
        {Point::rolling_circumference, "rolling_circumference"}, {Point::link_rod, "link_rod"},
        {Point::fork_oil_level, "fork_oil_level"}, {Point::fork_bore, "fork_bore"},
        {Point::spring_preload, "spring_preload"}, {Point::preload_turns, "preload_turns"}, {Point::fuel, "fuel"}, {Point::rider_mass, "rider_mass"},
        {Point::wheel_weight, "wheel_weight"}, {Point::damper_temperature, "damper_temperature"},
        {Point::spring_moved, "spring_moved"},
        {Point::fitted_mass, "fitted_mass"}, {Point::fitted_mass_ahead, "fitted_mass_ahead"},
        {Point::unsprung_mass, "unsprung_mass"}, {Point::top_out_rate, "top_out_rate"},
        {Point::top_out_reach, "top_out_reach"}, {Point::helper_rate, "helper_rate"},
        {Point::helper_free_length, "helper_free_length"}, {Point::helper_block_length, "helper_block_length"},
        {Point::other_leg_rate, "other_leg_rate"}, {Point::bump_travel, "bump_travel"},
        {Point::bump_rate, "bump_rate"}, {Point::rod_diameter, "rod_diameter"}, {Point::gas_volume, "gas_volume"},
        {Point::end_rate, "end_rate"}, {Point::rate_rises_from, "rate_rises_from"},
        {Point::rate_rises_to, "rate_rises_to"}};
};
// clang-format on

template <class E>
std::string_view key_of(E value) {
    const auto& rows = KeyTable<E>::rows;
    const auto at =
        std::find_if(std::begin(rows), std::end(rows), [&](const auto& row) { return row.value == value; });
    check(at != std::end(rows), "whatever a draft may name has a key");
    return at->key;
}

}  // namespace

template <class E>
std::optional<E> from_key(std::string_view key) {
    const auto& rows = KeyTable<E>::rows;
    for (const auto& row : rows)
        if (row.key == key) return row.value;
    std::size_t number = 0;
    const char* const end = key.data() + key.size();
    const auto [last, wrong] = std::from_chars(key.data(), end, number);
    if (wrong != std::errc() || last != end || number >= std::size(rows)) return std::nullopt;
    return rows[number].value;
}
template std::optional<Screen> from_key(std::string_view);
template std::optional<Field::Of> from_key(std::string_view);
template std::optional<BikeField> from_key(std::string_view);
template std::optional<EventField> from_key(std::string_view);
template std::optional<PartField> from_key(std::string_view);
template std::optional<JobField> from_key(std::string_view);
template std::optional<End> from_key(std::string_view);
template std::optional<Phase> from_key(std::string_view);
template std::optional<Point> from_key(std::string_view);

std::string_view key(Screen screen) {
    return key_of(screen);
}
std::string_view key(Field::Of of) {
    return key_of(of);
}
std::string_view key(BikeField field) {
    return key_of(field);
}
std::string_view key(EventField field) {
    return key_of(field);
}
std::string_view key(PartField field) {
    return key_of(field);
}
std::string_view key(JobField field) {
    return key_of(field);
}

}  // namespace restand
