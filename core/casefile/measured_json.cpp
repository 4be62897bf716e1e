#include "core/casefile/measured_json.h"

#include <algorithm>

#include "core/quantity/unit.h"

namespace restand::case_file {
namespace {

constexpr Range scales_range = {"load", 0, 250, true};
constexpr Range lift_range = {"lift", 0, 2000, true};
constexpr Range rise_range = {"rise", -1000, 1000};
constexpr Range pair_uncertainty_range = {"uncertainty", 0, 20, true};
constexpr std::size_t fewest_pairs = 3, most_pairs = 50;

// The length at which the unit was held; topped out, as read unloaded, if not given.
Length held_at(Fields& f, std::string_view key, const SuspensionUnit& unit) {
    const Length held = mm(f.number(key, length_range).value_or(in_mm(unit.length - unloaded_travel(unit))));
    const auto told = [&](const char* what, Length end) {
        f.refuse(ErrorCode::contradiction, key,
                 "; " + std::string(what) + " it is " + print_fixed(in_mm(end), 1) + " mm");
    };
    if (held > unit.length) told("topped out", unit.length);
    if (unit.travel && held < unit.length - *unit.travel)
        told("pushed all the way in", unit.length - *unit.travel);
    return held;
}

// Checks the sign of the rise. Otherwise a table with the wrong sign would only look like very bad points.
void rises(Fields& f, std::vector<LinkagePair> pairs) {
    std::sort(pairs.begin(), pairs.end(), [](const auto& a, const auto& b) { return a.unit > b.unit; });
    for (std::size_t i = 1; i < pairs.size(); ++i)
        if (pairs[i].unit < pairs[i - 1].unit && pairs[i].axle_rise < pairs[i - 1].axle_rise)
            return f.refuse(ErrorCode::contradiction, "pairs",
                            "; a shorter unit lifts the axle: the rise grows as the unit's length falls");
    if (pairs.back().unit == pairs.front().unit)
        f.refuse(ErrorCode::contradiction, "pairs", "; all are at the same unit length");
}

}  // namespace

std::optional<Weighed> read_scales(const Json* node, const WholeBike& bike, const Unsprung& unsprung,
                                   FirstError& error) {
    if (!node || error) return std::nullopt;
    Fields f(node, "bike.masses.scales",
             {"rear_kg", "front_kg", "front_lifted_kg", "lift_mm", "eye_to_eye_mm", "fork_length_mm"}, error);
    OnScales scales;
    scales.rear = kilogram(f.required("rear_kg", scales_range));
    scales.front = kilogram(f.required("front_kg", scales_range));
    scales.front_lifted = kilogram(f.required("front_lifted_kg", scales_range));
    scales.lift = mm(f.required("lift_mm", lift_range));
    const Length shock = held_at(f, "eye_to_eye_mm", bike.shock),
                 fork = held_at(f, "fork_length_mm", bike.fork);
    if (error) return std::nullopt;
    const auto map = LinkageMap::of(bike.linkage);
    const auto held = map ? pose_at(*map, shock, bike.fork.length - fork) : Result<Pose>(map.error());
    if (!held) {
        f.refuse(held.error().code, "eye_to_eye_mm", held.error().detail);
        return std::nullopt;
    }
    scales.held = *held;
    const auto read = weighed(bike, scales, unsprung);
    if (read) return *read;
    error = read.error();
    if (error->subject.starts_with("scales.")) error->subject.insert(0, "bike.masses.");
    return std::nullopt;
}

std::optional<AskedPose> read_pose(const Json* node, const WholeBike& bike, FirstError& error) {
    if (!node || error) return std::nullopt;
    Fields f(node, "pose", {"shock_length_mm", "fork_travel_mm", "rear_radius_mm", "front_radius_mm"}, error);
    AskedPose out;
    out.shock_length = held_at(f, "shock_length_mm", bike.shock);
    out.fork_travel =
        mm(f.number("fork_travel_mm", {"travel", 0, in_mm(bike.fork.travel.value_or(mm(1000)))}).value_or(0));
    if (const auto r = f.number("rear_radius_mm", radius_range)) out.rear_radius = mm(*r);
    if (const auto r = f.number("front_radius_mm", radius_range)) out.front_radius = mm(*r);
    return error ? std::nullopt : std::optional(out);
}

std::optional<LinkageTable> read_linkage_table(const Json* node, FirstError& error) {
    if (!node || error) return std::nullopt;
    LinkageTable out;
    Fields f(node, "bike.linkage_table", {"pairs", "point_u_mm", "pair_u_mm"}, error);
    if (const Json* list = f.required_node("pairs"))
        for (const auto& [unit, rise] : number_pairs(*list, f.path("pairs"), length_range, rise_range, error))
            out.pairs.push_back({mm(unit), mm(rise)});
    if (const auto u = f.number("point_u_mm", pair_uncertainty_range)) out.point_u = mm(*u);
    if (const auto u = f.number("pair_u_mm", pair_uncertainty_range)) out.pair_u = mm(*u);
    if (!error && (out.pairs.size() < fewest_pairs || out.pairs.size() > most_pairs))
        f.refuse(ErrorCode::out_of_range, "pairs",
                 std::to_string(out.pairs.size()) + " pairs; 3 to 50 of them");
    if (!error) rises(f, out.pairs);
    return error ? std::nullopt : std::optional(out);
}

}  // namespace restand::case_file
