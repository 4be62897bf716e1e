#include "core/casefile/bike_description.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "core/casefile/fork_fields.h"
#include "core/machine/attitude.h"
#include "core/machine/tyre_size.h"

namespace restand::case_file {
namespace {

constexpr Range arm_range = {"arm", 200, 1000};
constexpr Range steering_axis_range = {"angle", 10, 45};
constexpr Range mass_range = {"mass", 0, 500};
constexpr Range stiffness_range = {"stiffness", 0, 2000, true};
constexpr Range teeth_range = {"teeth", 8, 80};
constexpr Range links_range = {"links", 60, 200};
constexpr Range slack_range = {"slack", 0, 200};
constexpr Range percent_range = {"elongation", 0, 10};
constexpr Range gear_range = {"ratio", 0.2, 8};
constexpr Range rpm_range = {"rpm", 500, 30000};

int whole_number(Fields& f, std::string_view key, const Range& range) {
    const double v = f.required(key, range);
    if (v != std::floor(v)) f.refuse(ErrorCode::out_of_range, key, "a whole number");
    return static_cast<int>(v);
}

Wheel read_wheel(Fields& bike, std::string_view key, FirstError& error) {
    Fields f(bike.required_node(key), bike.path(key), {"radius_mm", "size", "stiffness_n_per_mm"}, error);
    Wheel wheel;
    if (f.has("radius_mm")) {
        wheel.radius = mm(f.required("radius_mm", radius_range));  // measured, so the size marking is ignored
    } else if (const auto marking = f.text("size")) {
        const auto size = tyre_size(*marking);
        if (!size) f.refuse(size.error().code, "size", size.error().detail);
        if (size) wheel.radius = size->radius();
    } else {
        f.refuse(ErrorCode::missing, "radius_mm", "or size");
    }
    if (const auto k = f.number("stiffness_n_per_mm", stiffness_range)) wheel.stiffness = newton_per_mm(*k);
    return wheel;
}

void read_installed_spring(Fields& unit, const std::string& path, SuspensionUnit& out, FirstError& error) {
    Fields spring(
        unit.required_node("spring"), path + ".spring",
        {"rate_n_per_mm", "force_table", "free_length_mm", "installed_length_mm", "block_length_mm"}, error);
    out.spring = read_spring(spring, out, error);
    out.installed_length = mm(spring.required("installed_length_mm", length_range));
    if (!error) not_loose(spring, out, "installed_length_mm");
}

SuspensionUnit read_shock(const Json* node, FirstError& error) {
    SuspensionUnit out;
    Fields f(node, "bike.shock",
             {"eye_to_eye_mm", "travel_mm", "gas_force_n", "reservoir", "bump_rubber", "spring",
              "helper_spring", "top_out_spring"},
             error);
    read_common(f, "bike.shock", 1, out, error);
    read_installed_spring(f, "bike.shock", out, error);
    out.length = mm(f.required("eye_to_eye_mm", length_range));
    return at_stop(std::move(out));
}

// Both legs together. Their springs may differ; the air volume follows from the oil level.
SuspensionUnit read_fork(const Json* node, Length& position, FirstError& error) {
    SuspensionUnit out;
    Fields f(node, "bike.fork",
             {"fork_length_mm", "fork_position_mm", "travel_mm", "gas_force_n", "legs", "reservoir",
              "bump_rubber", "spring", "helper_spring", "top_out_spring", "other_leg", "oil"},
             error);
    read_common(f, "bike.fork", 2, out, error);
    read_installed_spring(f, "bike.fork", out, error);
    out.length = mm(f.required("fork_length_mm", length_range));
    if (!out.travel) f.refuse(ErrorCode::missing, "travel_mm", "");
    position = mm(f.number("fork_position_mm", position_range).value_or(0.0));
    read_legs_and_oil(f, "bike.fork", "installed_length_mm", out, error);
    return at_stop(std::move(out));
}

PointMass read_mass(Fields& masses, std::string_view key, FirstError& error) {
    Fields f(masses.required_node(key), masses.path(key), {"kg", "at_mm"}, error);
    PointMass m;
    m.mass = kilogram(f.required("kg", mass_range));
    m.at = point_at(f, "at_mm", error);
    return m;
}

std::optional<Masses> read_masses(const Json* node, FirstError& error) {
    if (!node) return std::nullopt;
    Fields f(node, "bike.masses", {"sprung", "scales", "arm", "rear_wheel_kg", "front_unsprung_kg", "rider"},
             error);
    Masses m;
    if (f.has("sprung") && f.has("scales"))
        f.refuse(ErrorCode::contradiction, "scales", "sprung; one follows from the other, give one");
    if (!f.has("scales")) m.sprung = read_mass(f, "sprung", error);
    m.arm = read_mass(f, "arm", error);
    m.rear_wheel = kilogram(f.required("rear_wheel_kg", mass_range));
    m.front_unsprung = kilogram(f.required("front_unsprung_kg", mass_range));
    if (f.has("rider")) m.rider = read_mass(f, "rider", error);
    return m;
}

// The chain with its length: calibrated from the slack on the stand (best), else measured, else by its wear.
std::optional<ChainRun> read_chain(const Json* node, const WholeBike& bike, FirstError& error) {
    if (!node) return std::nullopt;
    Fields f(node, "bike.chain",
             {"front_sprocket_mm", "front_teeth", "rear_teeth", "pitch_mm", "links", "length_mm",
              "elongation_percent", "stand_slack_mm", "axle_position_mm", "axle_min_mm", "axle_max_mm",
              "wanted_slack_mm"},
             error);
    ChainRun run;
    run.front_sprocket = point_at(f, "front_sprocket_mm", error);
    run.sprockets = {whole_number(f, "front_teeth", teeth_range), whole_number(f, "rear_teeth", teeth_range)};
    run.pitch = mm(f.number("pitch_mm", {"pitch", 5, 40, true}).value_or(in_mm(usual_chain_pitch)));
    run.links = whole_number(f, "links", links_range);
    const double worn = f.number("elongation_percent", percent_range).value_or(0.0);
    run.length = run.pitch * (run.links * (1.0 + worn / 100.0));
    if (const auto length = f.number("length_mm", {"length", 0, 5000, true})) run.length = mm(*length);
    if (!may_be_so_long(run))
        f.refuse(ErrorCode::contradiction, "length_mm", "links and pitch; within 3 % of links times pitch");
    const auto slack = f.number("stand_slack_mm", slack_range);
    if (error || !slack) return run;
    const Angle hung =
        hanging_pose(bike, *LinkageMap::of(bike.linkage)).value().droop;  // see check_plausible()
    const ChainRun real = calibrated(run, bike.arm, hung, mm(*slack));
    if (!may_be_so_long(real)) {
        char told[120];
        std::snprintf(told, sizeof told,
                      "stand_slack_mm and the places of both sprockets; by them the chain has %.1f links",
                      real.length / real.pitch);
        f.refuse(ErrorCode::contradiction, "links", told);
    }
    return real;
}

// The drive from engine to ground, with the sprockets of the chain and the rear wheel as described.
std::optional<EngineDrive> read_gearbox(const Json* node, const WholeBike& bike, FirstError& error) {
    if (!node) return std::nullopt;
    Fields f(node, "bike.gearbox", {"primary_ratio", "gear_ratios", "rpm"}, error);
    EngineDrive out{{}, f.required("rpm", rpm_range)};
    out.drive.primary = f.required("primary_ratio", gear_range);
    const Json* gears = f.required_node("gear_ratios");
    if (gears && (!gears->is_array() || gears->empty() || gears->size() > most_gears))
        f.refuse(ErrorCode::wrong_type, "gear_ratios", "one to eight ratios, first gear to top");
    each(gears, f.path("gear_ratios"), error, [&](const Json& ratio, const std::string& path) {
        out.drive.gears.push_back(number_at(ratio, path, gear_range, error).value_or(1.0));
    });
    if (!error && gears_in_order(out.drive.gears).size() < out.drive.gears.size())
        f.refuse(ErrorCode::contradiction, "gear_ratios",
                 "itself; each gear's ratio is below the one before");
    if (!error && !bike.chain) error = Error{ErrorCode::missing, "bike.chain", "with a gearbox"};
    if (error) return std::nullopt;
    out.drive.sprockets = bike.chain->sprockets;
    out.drive.rear_radius = free_radii(bike).rear;
    return out;
}

// Checks that the numbers together describe a motorcycle. A coordinate in a wrong unit fails this check.
void check_plausible(const WholeBike& bike, Fields& f) {
    const auto map = LinkageMap::of(bike.linkage);
    if (!map) return f.refuse(map.error().code, "linkage", map.error().detail);
    const auto pose = hanging_pose(bike, *map);
    if (!pose) return f.refuse(pose.error().code, "shock.eye_to_eye_mm", pose.error().detail);
    const Attitude a = attitude(bike, *pose, free_radii(bike));
    const double rake = in_degrees(a.rake);
    char told[120];
    std::snprintf(told, sizeof told, "topped out a rake of %.1f deg; 10 to 45 deg", rake);
    if (!(rake >= 10.0 && rake <= 45.0)) f.refuse(ErrorCode::out_of_range, "head_mm", told);
    std::snprintf(told, sizeof told, "topped out a wheelbase of %.0f mm; 800 to 2500 mm", in_mm(a.wheelbase));
    if (!(a.wheelbase > mm(800) && a.wheelbase < mm(2500)))
        f.refuse(ErrorCode::out_of_range, "head_mm", told);
}

// Computes mass and position of the sprung mass from the scales, once everything else is known.
void weigh(const Json* masses, BikeRead& read, FirstError& error) {
    if (error || !read.bike.masses || !masses->contains("scales")) return;
    Masses& m = *read.bike.masses;
    read.weighed =
        read_scales(&(*masses)["scales"], read.bike, {m.arm, m.rear_wheel, m.front_unsprung}, error);
    if (read.weighed) m.sprung = read.weighed->sprung;
}

}  // namespace

BikeRead read_bike(const Json* node, FirstError& error) {
    BikeRead out;
    WholeBike& bike = out.bike;
    Fields f(node, "bike",
             {"arm_mm", "rear_wheel", "front_wheel", "head_mm", "steering_axis_deg", "offset_mm",
              "tail_mark_mm", "linkage", "linkage_table", "shock", "fork", "masses", "chain", "gearbox"},
             error);
    bike.arm = mm(f.required("arm_mm", arm_range));
    bike.rear = read_wheel(f, "rear_wheel", error);
    bike.front = read_wheel(f, "front_wheel", error);
    bike.geometry.head = point_at(f, "head_mm", error);
    bike.geometry.axis = degrees(f.required("steering_axis_deg", steering_axis_range));
    bike.geometry.offset = mm(f.number("offset_mm", position_range).value_or(0.0));
    if (f.has("tail_mark_mm")) bike.tail_mark = point_at(f, "tail_mark_mm", error);
    bike.linkage = read_linkage(f.required_node("linkage"), "bike.linkage", error);
    bike.shock = read_shock(f.required_node("shock"), error);
    bike.fork = read_fork(f.required_node("fork"), bike.fork_position, error);
    bike.masses = read_masses(f.node("masses"), error);
    // Check first: the code below relies on a linkage that reaches the stated lengths.
    if (!error) check_plausible(bike, f);
    bike.chain = read_chain(f.node("chain"), bike, error);
    out.engine = read_gearbox(f.node("gearbox"), bike, error);
    out.table = read_linkage_table(f.node("linkage_table"), error);
    weigh(f.node("masses"), out, error);
    return out;
}

}  // namespace restand::case_file
