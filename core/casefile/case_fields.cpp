#include "core/casefile/case_fields.h"

#include "core/casefile/case_json.h"

#include <cmath>
#include <cstdio>

namespace restand::case_file {
namespace {

constexpr Range legs_range = {"legs", 1, 2};
constexpr Range area_range = {"area", 0, 20000, true};
constexpr Range volume_range = {"volume", 0, 1e7, true};
constexpr Range spread_range = {"angle", -360, 360};
constexpr Range side_range = {"side", -1, 1};

struct UnitReader {
    Fields& unit;
    std::string path;
    int usual_legs;
    FirstError& error;

    void gas(SuspensionUnit& out) {
        out.gas.topped_out = newton(unit.number("gas_force_n", force_range).value_or(0.0));
        if (!unit.has("reservoir")) return;
        Fields chamber(unit.node("reservoir"), path + ".reservoir", {"area_mm2", "volume_mm3", "exponent"},
                       error);
        Gas::Chamber c;
        c.area = Area(chamber.required("area_mm2", area_range));
        c.volume = Volume(chamber.required("volume_mm3", volume_range));
        c.exponent = chamber.number("exponent", exponent_range).value_or(1.0);
        out.gas.chamber = c;
    }
    void bump(SuspensionUnit& out) {
        const Json* list = unit.node("bump_rubber");
        if (!list) return;
        const std::string here = path + ".bump_rubber";
        for (const auto& [x, f] : number_pairs(*list, here, {"travel", 0, 1000}, force_range, error)) {
            if (!out.bump.empty() &&
                (x <= in_mm(out.bump.back().travel) || f < in_newton(out.bump.back().force)))
                unit.refuse(ErrorCode::not_sorted, "bump_rubber", "travel rises, force does not fall");
            out.bump.push_back({mm(x), newton(f)});
        }
    }
    void helper(SuspensionUnit& out) {
        if (!unit.has("helper_spring")) return;
        Fields coil(unit.node("helper_spring"), path + ".helper_spring",
                    {"rate_n_per_mm", "free_length_mm", "block_length_mm"}, error);
        out.helper = read_coil(coil);
    }
    void top_out(SuspensionUnit& out) {
        if (!unit.has("top_out_spring")) return;
        Fields coil(unit.node("top_out_spring"), path + ".top_out_spring", {"rate_n_per_mm", "reach_mm"},
                    error);
        out.top_out = TopOutSpring{newton_per_mm(coil.required("rate_n_per_mm", rate_range)),
                                   mm(coil.required("reach_mm", travel_range))};
        if (out.travel && out.top_out->reach >= *out.travel)
            coil.refuse(ErrorCode::contradiction, "reach_mm", "travel_mm; reach < travel");
    }
    void common(SuspensionUnit& out) {
        out.legs = usual_legs;
        if (const auto legs = unit.number("legs", legs_range)) {
            if (*legs != std::floor(*legs)) unit.refuse(ErrorCode::out_of_range, "legs", "1 or 2");
            out.legs = static_cast<int>(*legs);
        }
        if (const auto travel = unit.number("travel_mm", travel_range)) out.travel = mm(*travel);
        gas(out);
        bump(out);
        helper(out);
        top_out(out);
    }
};

}  // namespace

std::string in_order(std::string rule, std::initializer_list<double> numbers) {
    const char* before = ", here ";
    for (const double number : numbers) {
        char text[32];
        std::snprintf(text, sizeof text, "%s%g", before, number);
        rule += text;
        before = ", ";
    }
    return rule;
}

// [[a, b], …] as numbers.
std::vector<std::pair<double, double>> number_pairs(const Json& list, const std::string& path,
                                                    const Range& first, const Range& second,
                                                    FirstError& error) {
    std::vector<std::pair<double, double>> out;
    if (!error && !list.is_array()) error = Error{ErrorCode::wrong_type, path, "a list [[a, b], …]"};
    if (error) return out;
    for (std::size_t i = 0; i < list.size() && !error; ++i) {
        const std::string here = path + "[" + std::to_string(i + 1) + "]";
        if (!list[i].is_array() || list[i].size() != 2) {
            error = Error{ErrorCode::wrong_type, here, "two numbers [a, b]"};
            break;
        }
        const double a = number_at(list[i][0], here + "[1]", first, error).value_or(0.0);
        const double b = number_at(list[i][1], here + "[2]", second, error).value_or(0.0);
        out.emplace_back(a, b);
    }
    return out;
}

namespace {

// The rate of a progressive spring is that of its first piece.
void force_table(Fields& fields, const SuspensionUnit& unit, Spring& out, FirstError& error) {
    if (fields.has("rate_n_per_mm"))
        fields.refuse(ErrorCode::contradiction, "force_table", "rate_n_per_mm; give one");
    if (unit.helper) fields.refuse(ErrorCode::contradiction, "force_table", "helper_spring; give one");
    const Json* list = fields.node("force_table");
    if (!list) return;
    SpringPoint last{};
    for (const auto& [x, f] :
         number_pairs(*list, fields.path("force_table"), {"deflection", 0, 1000}, force_range, error)) {
        const SpringPoint point{mm(x), newton(f)};
        if (out.table.empty() && x == 0.0 && f == 0.0) continue;
        if (point.deflection <= last.deflection || point.force <= last.force)
            fields.refuse(ErrorCode::not_sorted, "force_table", "deflection and force rise, from 0 at 0");
        out.table.push_back(last = point);
    }
    if (out.table.empty()) return fields.refuse(ErrorCode::missing, "force_table", "a point above [0, 0]");
    out.rate = out.table.front().force / out.table.front().deflection;
}

void coil_lengths(Fields& fields, Spring& out) {
    out.free_length = mm(fields.required("free_length_mm", length_range));
    const auto block = fields.number("block_length_mm", length_range);
    if (!block) return;
    out.block_length = mm(*block);
    if (*block >= in_mm(out.free_length))
        fields.refuse(ErrorCode::contradiction, "block_length_mm", "free_length_mm; block < free length");
}

}  // namespace

Spring read_spring(Fields& fields, const SuspensionUnit& unit, FirstError& error) {
    if (!fields.has("force_table")) return read_coil(fields);
    Spring out{};
    force_table(fields, unit, out, error);
    coil_lengths(fields, out);
    return out;
}

Spring read_coil(Fields& fields) {
    Spring out{};
    out.rate = newton_per_mm(fields.required("rate_n_per_mm", rate_range));
    coil_lengths(fields, out);
    return out;
}

PlanePoint point_at(Fields& fields, std::string_view key, FirstError& error) {
    const Json* node = fields.required_node(key);
    if (error || !node) return {};
    if (!node->is_array() || node->size() != 2) {
        fields.refuse(ErrorCode::wrong_type, key, "two numbers [x, z]");
        return {};
    }
    const std::string here = fields.path(key);
    const double x = number_at((*node)[0], here + "[1]", coordinate_range, error).value_or(0.0);
    const double z = number_at((*node)[1], here + "[2]", coordinate_range, error).value_or(0.0);
    return {mm(x), mm(z)};
}

void read_common(Fields& unit, const std::string& path, int usual_legs, SuspensionUnit& out,
                 FirstError& error) {
    UnitReader{unit, path, usual_legs, error}.common(out);
}

void not_loose(Fields& spring, const SuspensionUnit& unit, std::string_view key) {
    if (preload(unit) < mm(0.0))
        spring.refuse(ErrorCode::contradiction, "free_length_mm",
                      std::string(key) + "; free length is not shorter than installed length");
}

std::optional<Error> of_newer_version(const Json& root) {
    if (!root.is_object() || !root.contains("restand_case") || !root["restand_case"].is_number())
        return std::nullopt;
    if (root["restand_case"].get<double>() <= case_version) return std::nullopt;
    return Error{ErrorCode::newer_version, "restand_case", root["restand_case"].dump()};
}

void read_version(Fields& top) {
    if (!top.has("restand_case"))
        return top.refuse(ErrorCode::not_ours, "restand_case", "no \"restand_case\": 1");
    const double version = top.required("restand_case", {"version", 1, 1e6});
    if (version > case_version)
        top.refuse(ErrorCode::newer_version, "restand_case", std::to_string(int(version)));
    if (version != std::floor(version)) top.refuse(ErrorCode::out_of_range, "restand_case", "a whole number");
}

Linkage read_linkage(const Json* node, const std::string& path, FirstError& error) {
    Fields f(node, path,
             {"kind", "unit_frame_mm", "unit_arm_mm", "rocker_pivot_mm", "rod_end_mm", "rod_mm",
              "pivot_to_rod_mm", "pivot_to_unit_mm", "spread_deg", "side"},
             error);
    Linkage out;
    if (error) return out;
    const std::string kind = f.text("kind").value_or("");
    const bool direct = kind == "direct", on_frame = kind == "rocker_on_frame",
               on_arm = kind == "rocker_on_arm";
    if (!direct && !on_frame && !on_arm) {
        f.refuse(f.has("kind") ? ErrorCode::out_of_range : ErrorCode::missing, "kind",
                 "\"direct\", \"rocker_on_frame\" or \"rocker_on_arm\"");
        return out;
    }
    out.unit_end = {Carrier::frame, point_at(f, "unit_frame_mm", error)};
    const std::initializer_list<std::string_view> of_rocker = {
        "rocker_pivot_mm",  "rod_end_mm", "rod_mm", "pivot_to_rod_mm",
        "pivot_to_unit_mm", "spread_deg", "side"};
    if (direct) {
        for (const std::string_view key : of_rocker)
            if (f.has(key)) f.refuse(ErrorCode::contradiction, key, "kind; a direct unit has no rocker");
        out.direct = {Carrier::arm, point_at(f, "unit_arm_mm", error)};
        return out;
    }
    if (f.has("unit_arm_mm"))
        f.refuse(ErrorCode::contradiction, "unit_arm_mm", "kind; the unit ends at the rocker");
    Rocker r;
    r.pivot = {on_frame ? Carrier::frame : Carrier::arm, point_at(f, "rocker_pivot_mm", error)};
    r.rod_end = {on_frame ? Carrier::arm : Carrier::frame, point_at(f, "rod_end_mm", error)};
    r.rod = mm(f.required("rod_mm", length_range));
    r.pivot_to_rod = mm(f.required("pivot_to_rod_mm", length_range));
    r.pivot_to_unit = mm(f.required("pivot_to_unit_mm", length_range));
    r.spread = degrees(f.required("spread_deg", spread_range));
    const double side = f.number("side", side_range).value_or(1.0);
    if (side != 1.0 && side != -1.0) f.refuse(ErrorCode::out_of_range, "side", "1 or -1");
    r.side = side < 0 ? -1 : 1;
    out.rocker = r;
    return out;
}

}  // namespace restand::case_file
