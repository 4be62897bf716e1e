#pragma once
// Golden data of an independent program, and bike A in it as this project says it. Axes are the same.

#include <doctest/doctest.h>

#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>

#include "core/machine/chain.h"
#include "core/machine/standing_bike.h"

namespace restand::test {

using nlohmann::json;

inline json golden(const char* name) {
    std::ifstream file(std::string(RESTAND_SOURCE_DIR) + "/tests/reference/" + name);
    REQUIRE(file.good());
    return json::parse(file);
}
inline double number(const json& from, const char* key) {
    return from.at(key).get<double>();
}
inline PlanePoint plane_point(const json& xz) {
    return {mm(xz.at(0).get<double>()), mm(xz.at(1).get<double>())};
}

inline SuspensionUnit golden_shock(const json& bike) {
    const json& shock = bike.at("shock");
    SuspensionUnit unit;
    unit.length = mm(number(shock, "L0"));
    unit.travel = mm(number(shock, "stroke"));
    unit.spring = {newton_per_mm(number(shock, "k")), mm(number(shock, "free_len")),
                   mm(number(shock, "solid_len"))};
    unit.installed_length = unit.spring.free_length - mm(number(shock, "preload"));
    unit.gas.topped_out = newton(number(shock.at("gas"), "F0"));
    return unit;
}

inline Linkage golden_linkage(const json& bike) {
    const json& l = bike.at("linkage");
    Linkage out;
    out.unit_end = {Carrier::frame, plane_point(l.at("shock_frame"))};
    out.rocker = Rocker{.pivot = {Carrier::frame, plane_point(l.at("rocker_pivot"))},
                        .rod_end = {Carrier::arm, plane_point(l.at("rod_arm"))},
                        .rod = mm(number(l, "rod_len")),
                        .pivot_to_rod = mm(number(l, "rocker_rod_len")),
                        .pivot_to_unit = mm(number(l, "rocker_shock_len")),
                        .spread = degrees(number(l, "rocker_angle_deg")),
                        .side = l.at("branch").get<int>()};
    return out;
}

// `data`: the whole of golden_bike_a.json.
inline WholeBike golden_bike(const json& data) {
    const json& b = data.at("bike");
    WholeBike bike;
    bike.arm = mm(number(b, "arm_len"));
    bike.rear.radius = mm(number(b, "Rr"));
    bike.front.radius = mm(number(b, "Rf"));
    bike.geometry = {plane_point(b.at("head")), degrees(number(b, "e0_deg")), mm(number(b, "offset"))};
    bike.shock = golden_shock(b);
    bike.linkage = golden_linkage(b);
    bike.fork.length = mm(number(b, "fork_len0"));
    bike.fork.travel = mm(number(b.at("fork"), "stroke"));
    bike.fork.spring = {newton_per_mm(number(b.at("fork"), "k")), mm(300), {}};
    bike.fork.installed_length = mm(300) - mm(number(b.at("fork"), "preload"));
    bike.fork_position = mm(number(b, "yoke_height"));
    const auto mass = [&](const char* m, const char* at) {
        return PointMass{kilogram(number(b, m)), plane_point(b.at(at))};
    };
    bike.masses =
        Masses{mass("m_sprung", "cg_sprung"), mass("m_arm", "cg_arm"), kilogram(number(b, "m_rwheel")),
               kilogram(number(b, "m_fuw")), mass("m_rider", "cg_rider")};
    bike.tail_mark = plane_point(b.at("tail_mark"));
    return bike;
}
inline ChainRun golden_chain(const json& data) {
    const json &b = data.at("bike"), &c = b.at("chain");
    const Length pitch = mm(number(c, "pitch"));
    const int links = c.at("links").get<int>();
    return {plane_point(b.at("front_sprocket")),
            {c.at("N1").get<int>(), c.at("N2").get<int>()},
            pitch,
            links,
            pitch * links};
}

// |a − b|, for a tolerance that is a distance and no ratio.
inline double apart(double a, double b) {
    return std::fabs(a - b);
}

}  // namespace restand::test
