#include "platform/terminal/bike_tables.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "app/sentences.h"
#include "platform/terminal/answer_fields.h"

namespace restand {
namespace {

using answer_fields::Json;
using answer_fields::number;
using answer_fields::printed;

Json point(const PlanePoint& p) {
    return Json::array({number(p.x), number(p.z)});
}

void put_attitude(Json& out, const Attitude& a) {
    out["rear_height_mm"] = number(a.tail_height);
    out["rear_height_upright_mm"] = number(a.tail_upright);
    out["pivot_height_mm"] = number(a.pivot_height);
    out["pitch_deg"] = number(in_degrees(a.pitch));
    out["rake_deg"] = number(in_degrees(a.rake));
    out["trail_mm"] = number(a.trail);
    out["normal_trail_mm"] = number(a.normal_trail);
    out["wheelbase_mm"] = number(a.wheelbase);
    out["arm_to_ground_deg"] = number(in_degrees(a.arm_to_ground));
}

// Fields shared by both ends: of a bike in equilibrium and of one in a pose.
template <class Bike>
void put_ends(Json& out, const Bike& s) {
    out["rear_travel_mm"] = number(s.rear_travel);
    out["fork_travel_mm"] = number(s.pose.fork_travel);
    out["shock_length_mm"] = number(s.shock_length);
    out["shock_travel_mm"] = number(s.shock_travel);
    out["shock_force_n"] = number(in_newton(s.shock_force));
    out["fork_force_n"] = number(in_newton(s.fork_force));
    out["motion_ratio"] = number(s.motion_ratio);
    out["motion_ratio_per_mm"] = number(s.motion_ratio_slope);
    out["wheel_rate_n_per_mm"] = number(in_newton_per_mm(s.wheel_rate));
    out["arm_droop_deg"] = number(in_degrees(s.pose.droop));
    put_attitude(out, s.attitude);
    out["rear_radius_mm"] = number(s.radii.rear);
    out["front_radius_mm"] = number(s.radii.front);
}

void put_loads(Json& out, const std::optional<WheelLoads>& l) {
    out["rear_load_n"] = l ? number(in_newton(l->rear)) : Json(nullptr);
    out["front_load_n"] = l ? number(in_newton(l->front)) : Json(nullptr);
}
void put_mass(Json& out, const std::optional<WheelLoads>& l) {
    out["mass_ahead_mm"] = l ? number(l->mass_ahead) : Json(nullptr);
    out["mass_height_mm"] = l ? number(l->mass_height) : Json(nullptr);
}

Json standing_json(const StandingBike& s, const StopForces& stops) {
    Json out = Json::object();
    put_loads(out, s.loads);
    put_ends(out, s);
    out["rear_topped_out"] = s.rear_topped_out;
    out["fork_topped_out"] = s.fork_topped_out;
    out["rear_bottomed"] = s.rear_bottomed;
    out["fork_bottomed"] = s.fork_bottomed;
    out["rear_stop_n"] = number(in_newton(stops.rear));
    out["fork_stop_n"] = number(in_newton(stops.fork));
    put_mass(out, s.loads);
    return out;
}

Json squat_json(const std::optional<Squat>& s) {
    if (!s) return nullptr;
    return {{"squat_point_mm", point(s->squat_point)},
            {"upper_run_deg", number(in_degrees(s->upper_run))},
            {"squat_angle_deg", number(in_degrees(s->squat_angle))},
            {"load_transfer_angle_deg", number(in_degrees(s->transfer_angle))},
            {"squat_ratio", number(s->squat_ratio)},
            {"anti_squat_percent", number(s->anti_squat_percent)}};
}

Json pose_json(const std::optional<AtPose>& at) {
    if (!at) return nullptr;
    const auto loads = [](const std::optional<WheelLoads>& l) {
        Json of = nullptr;
        if (l) put_loads(of, l), put_mass(of, l);
        return of;
    };
    Json out = Json::object();
    put_ends(out, *at);
    out["bike_alone"] = loads(at->alone);
    out["with_rider"] = loads(at->with_rider);
    out["squat"] = squat_json(at->squat);
    return out;
}

Json slack_json(const SlackAt& at) {
    return {{"arm_droop_deg", number(in_degrees(at.droop))},
            {"centre_mm", number(at.centre)},
            {"needed_mm", number(at.needed)},
            {"excess_mm", number(at.excess)},
            {"slack_mm", number(at.slack)}};
}

Json points_json(const Linkage& l, Length arm) {
    Json out{{"arm_mm", number(arm)}, {"unit_frame_mm", point(l.unit_end.at)}};
    if (!l.rocker) {
        out["unit_arm_mm"] = point(l.direct.at);
        return out;
    }
    const Rocker& r = *l.rocker;
    out["rocker_pivot_mm"] = point(r.pivot.at);
    out["rod_end_mm"] = point(r.rod_end.at);
    out["rod_mm"] = number(r.rod);
    out["pivot_to_rod_mm"] = number(r.pivot_to_rod);
    out["pivot_to_unit_mm"] = number(r.pivot_to_unit);
    return out;
}

Json check_json(const TableCheck& t) {
    const auto& [of, check] = t;
    Json out{{"agreement", key(check.agreement)},
             {"worst_mm", number(check.fit.worst)},
             {"rms_mm", number(check.fit.rms)},
             {"pairs", Json::array()},
             {"best", nullptr}};
    for (std::size_t i = 0; i < of.table.pairs.size(); ++i) {
        Json pair{{"unit_mm", number(of.table.pairs[i].unit)},
                  {"axle_rise_mm", number(of.table.pairs[i].axle_rise)},
                  {"miss_mm", number(check.fit.misses[i])},
                  {"best_miss_mm", check.best ? number(check.best->fit.misses[i]) : Json(nullptr)}};
        out["pairs"].push_back(std::move(pair));
    }
    if (!check.best) return out;
    Json moved = Json::object();
    for (const auto& [name, by] : moves_of(of, *check.best))
        moved[name] = by.size() == 1 ? Json(by[0]) : Json(by);
    out["best"] = {{"points", points_json(check.best->linkage, check.best->arm)},
                   {"moved", std::move(moved)},
                   {"farthest_mm", number(check.best->farthest)},
                   {"worst_mm", number(check.best->fit.worst)},
                   {"rms_mm", number(check.best->fit.rms)}};
    return out;
}

// Full precision, always with a decimal point: other programs read it. Empty: not known.
std::string csv_number(double value) {
    return std::isfinite(value) ? Json(value + 0.0).dump() : "";
}
std::string csv_line(std::initializer_list<double> values) {
    std::string line;
    for (const double v : values) line += (line.empty() ? "" : ",") + csv_number(v);
    return line + "\n";
}

}  // namespace

Result<StanceResult> stance(const WholeBike& bike) {
    StanceResult out;
    const auto alone = standing(bike, Rider::off);
    if (!alone) return alone.error();
    out.alone = *alone;
    out.alone_stops = stop_forces(bike, *alone, Rider::off);
    if (auto all = rests(bike, Rider::off)) out.alone_rests = std::move(*all);
    if (bike.masses ? bike.masses->rider.mass.value <= 0.0 : !has_loads(bike, Rider::on)) return out;
    const auto with_rider = standing(bike, Rider::on);
    if (!with_rider) return with_rider.error();
    out.with_rider = *with_rider;
    out.rider_stops = stop_forces(bike, *with_rider, Rider::on);
    if (auto all = rests(bike, Rider::on)) out.rider_rests = std::move(*all);
    if (bike.chain && with_rider->loads)
        out.squat =
            squat(bike, *bike.chain, with_rider->pose, with_rider->radii, with_rider->loads->mass_height);
    return out;
}

std::string stance_json(const StanceResult& s) {
    Json out{{"restand_stance", 1},
             {"bike_alone", s.alone ? standing_json(*s.alone, s.alone_stops) : Json(nullptr)},
             {"with_rider", s.with_rider ? standing_json(*s.with_rider, s.rider_stops) : Json(nullptr)},
             {"at_pose", pose_json(s.at_pose)},
             {"squat", squat_json(s.squat)},
             {"scales", nullptr}};
    const auto put_rests = [&](const char* key, const std::vector<Length>& rests) {
        if (out[key].is_null()) return;
        Json& travels = out[key]["rests_shock_travel_mm"] = Json::array();
        for (const Length travel : rests) travels.push_back(number(travel));
    };
    put_rests("bike_alone", s.alone_rests);
    put_rests("with_rider", s.rider_rests);
    if (s.weighed)
        out["scales"] = {
            {"kg", number(in_kilogram(s.weighed->whole.mass))},
            {"mass_ahead_mm", number(s.weighed->whole.ahead)},
            {"mass_height_mm", number(s.weighed->whole.height)},
            {"tilt_deg", number(in_degrees(s.weighed->whole.tilt))},
            {"sprung",
             {{"kg", number(in_kilogram(s.weighed->sprung.mass))}, {"at_mm", point(s.weighed->sprung.at)}}}};
    return printed(out);
}

Moves moves_of(const MeasuredLinkage& typed, const LinkageCheck::Best& best) {
    Moves moves;
    const Json was = points_json(typed.linkage, typed.arm), is = points_json(best.linkage, best.arm);
    for (const auto& [name, value] : is.items())
        if (value.is_array())
            moves.push_back({name,
                             {value[0].get<double>() - was[name][0].get<double>(),
                              value[1].get<double>() - was[name][1].get<double>()}});
        else
            moves.push_back({name, {value.get<double>() - was[name].get<double>()}});
    return moves;
}

std::string travel_json(std::span<const TravelRow> rows, const std::optional<Result<TableCheck>>& table) {
    Json out{{"restand_linkage", 1}, {"table", nullptr}, {"rows", Json::array()}};
    if (table) out["table"] = *table ? check_json(**table) : Json{{"message", sentence(table->error())}};
    for (const TravelRow& r : rows)
        out["rows"].push_back({{"wheel_travel_mm", number(r.wheel_travel)},
                               {"arm_droop_deg", number(in_degrees(r.droop))},
                               {"unit_length_mm", number(r.unit_length)},
                               {"unit_travel_mm", number(r.unit_travel)},
                               {"motion_ratio", number(r.motion_ratio)},
                               {"motion_ratio_per_mm", number(r.motion_ratio_slope)},
                               {"wheel_force_n", number(in_newton(r.wheel_force))},
                               {"wheel_rate_n_per_mm", number(in_newton_per_mm(r.wheel_rate))}});
    return printed(out);
}

std::string travel_csv(std::span<const TravelRow> rows) {
    std::string text =
        "wheel_travel_mm,arm_droop_deg,unit_length_mm,unit_travel_mm,motion_ratio,motion_ratio_per_mm,"
        "wheel_force_n,wheel_rate_n_per_mm\n";
    for (const TravelRow& r : rows)
        text += csv_line({in_mm(r.wheel_travel), in_degrees(r.droop), in_mm(r.unit_length),
                          in_mm(r.unit_travel), r.motion_ratio, r.motion_ratio_slope,
                          in_newton(r.wheel_force), in_newton_per_mm(r.wheel_rate)});
    return text;
}

Result<ChainResult> chain_result(const BikeCase& c) {
    auto rows = travel_table(c.bike);
    if (!rows) return rows.error();
    const bool wanted = c.wanted_slack.value > 0.0;
    const auto setting = chain_setting(c.bike, c.wanted_slack);
    if (!setting) return setting.error();
    ChainResult out{*c.bike.chain, *setting, wanted, {}, true, std::move(*rows), 0, {}};
    if (c.engine) {
        out.rpm = c.engine->rpm;
        out.gears = gear_speeds(c.engine->drive, out.rpm);
    }
    if (c.slot && wanted) {
        out.axle = c.slot->now + setting->axle;
        out.fits = *out.axle >= c.slot->min && *out.axle <= c.slot->max;
    }
    return out;
}

std::string chain_json(const ChainResult& c) {
    Json out{{"restand_chain", 1},
             {"chain_length_mm", number(c.run.length)},
             {"links", c.run.links},
             {"final_drive", number(c.run.sprockets.ratio())},
             {"tight_spot", slack_json(c.setting.tight)},
             {"hanging", slack_json(c.setting.hanging)},
             {"slack_to_set_mm", c.wanted ? number(c.setting.slack_to_set) : Json(nullptr)},
             {"axle_moves_mm", c.wanted ? number(c.setting.axle) : Json(nullptr)},
             {"axle_position_mm", number(c.axle)},
             {"axle_fits", c.fits},
             {"rpm", c.gears.empty() ? Json(nullptr) : number(c.rpm)},
             {"gears", Json::array()},
             {"rows", Json::array()}};
    for (const GearSpeed& g : c.gears)
        out["gears"].push_back(
            {{"ratio", number(g.ratio)}, {"kmh", number(g.kmh)}, {"rpm_after_shift", number(g.rpm_after)}});
    for (const TravelRow& r : c.rows)
        if (r.chain) {
            Json row = slack_json(*r.chain);
            row["wheel_travel_mm"] = number(r.wheel_travel);
            row["squat_angle_deg"] = r.squat ? number(in_degrees(r.squat->squat_angle)) : Json(nullptr);
            row["load_transfer_angle_deg"] =
                r.squat ? number(in_degrees(r.squat->transfer_angle)) : Json(nullptr);
            row["anti_squat_percent"] = r.squat ? number(r.squat->anti_squat_percent) : Json(nullptr);
            out["rows"].push_back(std::move(row));
        }
    return printed(out);
}

std::string chain_csv(std::span<const TravelRow> rows) {
    std::string text =
        "wheel_travel_mm,arm_droop_deg,centre_mm,needed_mm,excess_mm,slack_mm,anti_squat_percent\n";
    for (const TravelRow& r : rows)
        if (r.chain)
            text += csv_line({in_mm(r.wheel_travel), in_degrees(r.droop), in_mm(r.chain->centre),
                              in_mm(r.chain->needed), in_mm(r.chain->excess), in_mm(r.chain->slack),
                              r.squat ? r.squat->anti_squat_percent : std::nan("")});
    return text;
}

std::string no_answer_json(std::string_view of, const Error& error) {
    Json out{{"restand_" + std::string(of), 1}, {"status", "no_solution"}};
    if (of == "result") out["held"] = false;
    out["limits"] =
        Json::array({{{"code", key(error.code)}, {"where", error.subject}, {"message", sentence(error)}}});
    return out.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string whole_json(const BikeCase& c, const WholeAnswer& a) {
    Json out{{"restand_result", 1},
             {"status", "solved"},
             {"held", a.held},
             {"adjusters", Json::array()},
             {"targets", Json::array()}};
    for (std::size_t i = 0; i < c.adjusters.size(); ++i) {
        const WholeAdjuster& adjuster = c.adjusters[i];
        Json one{{"what", key(adjuster.what)},
                 {"now", number(adjuster.now)},
                 {"wanted", number(a.wanted[i])},
                 {"setting", number(a.setting[i])},
                 {"settable", number(a.detent[i])},
                 {"turns", adjuster.per_turn > 0 ? number((a.detent[i] - adjuster.now) / adjuster.per_turn)
                                                 : Json(nullptr)},
                 {"low", number(a.ends[i].low)},
                 {"low_why", key(a.ends[i].low_why)},
                 {"high", number(a.ends[i].high)},
                 {"high_why", key(a.ends[i].high_why)}};
        out["adjusters"].push_back(std::move(one));
    }
    for (std::size_t j = 0; j < c.targets.size(); ++j) {
        const Target& t = c.targets[j];
        const TargetAnswer& answer = a.targets[j];
        Json plan = Json::array(), slopes = Json::object();
        for (const std::size_t i : answer.in_the_way) plan.push_back(key(c.adjusters[i].what));
        for (std::size_t i = 0; i < c.adjusters.size(); ++i)
            slopes[std::string(key(c.adjusters[i].what))] = number(a.sensitivity[j][i]);
        out["targets"].push_back({{"what", key(t.what)},
                                  {"state", key(t.state)},
                                  {"must_hold", t.must_hold},
                                  {"value", number(t.value)},
                                  {"tolerance", number(tolerance_of(t))},
                                  {"found", number(answer.found)},
                                  {"setting", number(answer.setting)},
                                  {"settable", number(answer.detent)},
                                  {"held", answer.held},
                                  {"in_the_way", std::move(plan)},
                                  {"per_unit", std::move(slopes)}});
    }
    out["shock_block_margin_mm"] = number(a.shock_margin);
    out["fork_block_margin_mm"] = number(a.fork_margin);
    out["chain_short_mm"] = number(a.chain_short);
    const auto stands = [&](const std::optional<StandingBike>& s, Rider rider) {
        return s ? standing_json(*s, stop_forces(a.bike, *s, rider)) : Json(nullptr);
    };
    out["bike_alone"] = stands(a.alone, Rider::off);
    out["with_rider"] = stands(a.with_rider, Rider::on);
    return printed(out);
}

}  // namespace restand
