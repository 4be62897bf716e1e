#include "core/casefile/bike_json.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "core/casefile/fork_fields.h"
#include "core/casefile/measured_json.h"
#include "core/machine/attitude.h"
#include "core/machine/tyre_size.h"

namespace restand {
namespace {

using namespace case_file;

constexpr Range arm_range = {"arm", 200, 1000};
constexpr Range angle_range = {"angle", 10, 45};
constexpr Range mass_range = {"mass", 0, 500};
constexpr Range stiffness_range = {"stiffness", 0, 2000, true};
constexpr Range teeth_range = {"teeth", 8, 80};
constexpr Range links_range = {"links", 60, 200};
constexpr Range slack_range = {"slack", 0, 200};
constexpr Range percent_range = {"elongation", 0, 10};
constexpr Range value_range = {"value", -1e5, 1e5};
constexpr Range weight_range = {"weight", 0, 1e6};
constexpr Range tolerance_range = {"tolerance", 0, 1000, true};
constexpr Range gear_range = {"ratio", 0.2, 8};
constexpr Range rpm_range = {"rpm", 500, 30000};

int whole(Fields& f, std::string_view key, const Range& range) {
    const double v = f.required(key, range);
    if (v != std::floor(v)) f.refuse(ErrorCode::out_of_range, key, "a whole number");
    return static_cast<int>(v);
}

Wheel read_wheel(Fields& bike, std::string_view key, FirstError& error) {
    Fields f(bike.required_node(key), bike.path(key), {"radius_mm", "size", "stiffness_n_per_mm"}, error);
    Wheel wheel;
    if (f.has("radius_mm")) {
        wheel.radius =
            mm(f.required("radius_mm", radius_range));  // measured, so the size marking is ignored
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

void read_spring(Fields& unit, const std::string& path, SuspensionUnit& out, FirstError& error) {
    Fields spring(unit.required_node("spring"), path + ".spring",
                  {"rate_n_per_mm", "free_length_mm", "installed_length_mm", "block_length_mm"}, error);
    out.spring = read_coil(spring);
    out.installed_length = mm(spring.required("installed_length_mm", length_range));
    if (!error) not_loose(spring, out, "installed_length_mm");
}

SuspensionUnit read_shock(const Json* node, FirstError& error) {
    SuspensionUnit out;
    Fields f(
        node, "bike.shock",
        {"eye_to_eye_mm", "travel_mm", "gas_force_n", "reservoir", "bump_rubber", "spring", "helper_spring"},
        error);
    read_common(f, "bike.shock", 1, out, error);
    read_spring(f, "bike.shock", out, error);
    out.length = mm(f.required("eye_to_eye_mm", length_range));
    return out;
}

// Both legs together. Their springs may differ; the air volume follows from the oil level.
SuspensionUnit read_fork(const Json* node, Length& position, FirstError& error) {
    SuspensionUnit out;
    Fields f(node, "bike.fork",
             {"fork_length_mm", "fork_position_mm", "travel_mm", "gas_force_n", "legs", "reservoir",
              "bump_rubber", "spring", "helper_spring", "other_leg", "oil"},
             error);
    read_common(f, "bike.fork", 2, out, error);
    read_spring(f, "bike.fork", out, error);
    out.length = mm(f.required("fork_length_mm", length_range));
    if (!out.travel) f.refuse(ErrorCode::missing, "travel_mm", "");
    position = mm(f.number("fork_position_mm", position_range).value_or(0.0));
    read_legs_and_oil(f, "bike.fork", "installed_length_mm", out, error);
    return out;
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

template <class Read>
void each(const Json* list, const std::string& name, FirstError& error, Read read) {
    if (!list || error) return;
    if (!list->is_array()) {
        error = Error{ErrorCode::wrong_type, name, "a list"};
        return;
    }
    for (std::size_t i = 0; i < list->size() && !error; ++i)
        read((*list)[i], name + "[" + std::to_string(i + 1) + "]");
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
    run.sprockets = {whole(f, "front_teeth", teeth_range), whole(f, "rear_teeth", teeth_range)};
    run.pitch = mm(f.number("pitch_mm", {"pitch", 5, 40, true}).value_or(in_mm(usual_chain_pitch)));
    run.links = whole(f, "links", links_range);
    const double worn = f.number("elongation_percent", percent_range).value_or(0.0);
    run.length = run.pitch * (run.links * (1.0 + worn / 100.0));
    if (const auto length = f.number("length_mm", {"length", 0, 5000, true})) run.length = mm(*length);
    if (!may_be_so_long(run))
        f.refuse(ErrorCode::contradiction, "length_mm", "links and pitch; within 3 % of links times pitch");
    const auto slack = f.number("stand_slack_mm", slack_range);
    if (error || !slack) return run;
    const Angle top = LinkageMap::of(bike.linkage)->droop_at(bike.shock.length).value();  // see plausible()
    const ChainRun real = calibrated(run, bike.arm, top, mm(*slack));
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
        f.refuse(ErrorCode::contradiction, "gear_ratios", "itself; each gear's ratio is below the one before");
    if (!error && !bike.chain) error = Error{ErrorCode::missing, "bike.chain", "with a gearbox"};
    if (error) return std::nullopt;
    out.drive.sprockets = bike.chain->sprockets;
    out.drive.rear_radius = free_radii(bike).rear;
    return out;
}

// Checks that the numbers together describe a motorcycle. A coordinate in a wrong unit fails this check.
void plausible(const WholeBike& bike, Fields& f) {
    const auto map = LinkageMap::of(bike.linkage);
    if (!map) return f.refuse(map.error().code, "linkage", map.error().detail);
    const auto pose = pose_at(*map, bike.shock.length, mm(0));
    if (!pose) return f.refuse(pose.error().code, "shock.eye_to_eye_mm", pose.error().detail);
    const Attitude a = attitude(bike, *pose, free_radii(bike));
    const double rake = in_degrees(a.rake);
    char told[120];
    std::snprintf(told, sizeof told, "topped out a rake of %.1f deg; 10 to 45 deg", rake);
    if (!(rake >= 10.0 && rake <= 45.0)) f.refuse(ErrorCode::out_of_range, "head_mm", told);
    std::snprintf(told, sizeof told, "topped out a wheelbase of %.0f mm; 800 to 2500 mm",
                  in_mm(a.wheelbase));
    if (!(a.wheelbase > mm(800) && a.wheelbase < mm(2500)))
        f.refuse(ErrorCode::out_of_range, "head_mm", told);
}

struct BikeRead {
    WholeBike bike;
    std::optional<Weighed> weighed;
    std::optional<LinkageTable> table;
    std::optional<EngineDrive> engine;
};

// Computes mass and position of the sprung mass from the scales, once everything else is known.
void weigh(const Json* masses, BikeRead& read, FirstError& error) {
    if (error || !read.bike.masses || !masses->contains("scales")) return;
    Masses& m = *read.bike.masses;
    read.weighed =
        read_scales(&(*masses)["scales"], read.bike, {m.arm, m.rear_wheel, m.front_unsprung}, error);
    if (read.weighed) m.sprung = read.weighed->sprung;
}

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
    bike.geometry.axis = degrees(f.required("steering_axis_deg", angle_range));
    bike.geometry.offset = mm(f.number("offset_mm", position_range).value_or(0.0));
    if (f.has("tail_mark_mm")) bike.tail_mark = point_at(f, "tail_mark_mm", error);
    bike.linkage = read_linkage(f.required_node("linkage"), "bike.linkage", error);
    bike.shock = read_shock(f.required_node("shock"), error);
    bike.fork = read_fork(f.required_node("fork"), bike.fork_position, error);
    bike.masses = read_masses(f.node("masses"), error);
    // Check first: the code below relies on a linkage that reaches the stated lengths.
    if (!error) plausible(bike, f);
    bike.chain = read_chain(f.node("chain"), bike, error);
    out.engine = read_gearbox(f.node("gearbox"), bike, error);
    out.table = read_linkage_table(f.node("linkage_table"), error);
    weigh(f.node("masses"), out, error);
    return out;
}

// "what": one of the first `count` enumerators, by its key; after an error the first enumerator.
template <class Kind>
Kind read_what(Fields& f, int count) {
    const std::string word = f.text("what").value_or("");
    std::string known;
    for (int i = 0; i < count; ++i) {
        const auto kind = static_cast<Kind>(i);
        if (key(kind) == word) return kind;
        known.append(i ? ", " : "").append(key(kind));
    }
    f.refuse(f.has("what") ? ErrorCode::out_of_range : ErrorCode::missing, "what", known);
    return Kind{};
}

Target read_target(const Json& node, const std::string& path, bool& told, FirstError& error) {
    Fields f(&node, path, {"what", "state", "value", "must_hold", "weight", "tolerance"}, error);
    Target t{};
    t.what = read_what<TargetKind>(f, static_cast<int>(TargetKind::final_drive) + 1);
    const std::string state = f.text("state").value_or("rider");
    if (state != "topped_out" && state != "static" && state != "rider")
        f.refuse(ErrorCode::out_of_range, "state", "topped_out, static, rider");
    t.state = state == "topped_out" ? State::topped_out : state == "static" ? State::static_ : State::rider;
    const auto value = f.number("value", value_range);
    told = value.has_value();
    t.value = value.value_or(0.0);
    if (const Json* must = f.node("must_hold")) {
        if (must->is_boolean())
            t.must_hold = must->get<bool>();
        else
            f.refuse(ErrorCode::wrong_type, "must_hold", "true or false");
    }
    t.weight = f.number("weight", weight_range).value_or(1.0);
    t.tolerance = f.number("tolerance", tolerance_range);
    return t;
}

Outcome in_its_range(const WholeAdjuster& a, const std::string& subject) {
    char told[96];
    if (a.min > a.max) {
        std::snprintf(told, sizeof told, "; min %g is above max %g", a.min, a.max);
        return Error{ErrorCode::contradiction, subject, told};
    }
    if (a.min <= a.now && a.now <= a.max) return Done{};
    std::snprintf(told, sizeof told, "%g; %g <= now <= %g", a.now, a.min, a.max);
    return Error{ErrorCode::out_of_range, subject, told};
}

// Without "now" an adjuster stands as the bike has it. The axle's position is read in its slot.
WholeAdjuster read_adjuster(const Json& node, const std::string& path, const BikeCase& c, FirstError& error) {
    const WholeBike& bike = c.bike;
    Fields f(&node, path, {"what", "now", "min", "max", "step", "per_turn", "step_turns"}, error);
    WholeAdjuster a{};
    a.what = read_what<Adjustable>(f, adjustable_count);
    if (a.what == Adjustable::arm && c.slot) {
        a.now = f.number("now", value_range).value_or(c.slot->now.value);
        a.min = f.number("min", value_range).value_or(c.slot->min.value);
        a.max = f.number("max", value_range).value_or(c.slot->max.value);
    } else {
        a.now = f.number("now", value_range).value_or(value(bike, a.what));
        a.min = f.required("min", value_range);
        a.max = f.required("max", value_range);
    }
    a.per_turn = f.number("per_turn", pitch_range).value_or(0.0);
    a.detent = f.number("step", {"step", 0, 100}).value_or(0.0);
    if (const auto turns = f.number("step_turns", step_range)) a.detent = a.per_turn * *turns;
    if (is_counted(a.what) && a.detent == 0.0) a.detent = a.what == Adjustable::links ? 2.0 : 1.0;
    return a;
}

// The scales weighed the bike before the swap. A swap changes where the wheels are under the frame, not the
// mass of the frame, so that mass is kept. Masses given in "new" take precedence.
void weighed_before(const Json& fresh, const BikeRead& described, Json& merged) {
    if (!fresh.is_object() || !merged.contains("masses") || !merged["masses"].is_object()) return;
    const Json said = fresh.value("masses", Json::object());
    const auto says = [&](const char* key) { return said.is_object() && said.contains(key); };
    Json& masses = merged["masses"];
    if (says("scales") && !says("sprung")) masses.erase("sprung");
    if (says("scales") || !described.weighed) return;
    masses.erase("scales");
    const PointMass& frame = described.weighed->sprung;
    Json sprung{{"kg", frame.mass.value}, {"at_mm", Json::array({frame.at.x.value, frame.at.z.value})}};
    if (says("sprung")) sprung.merge_patch(said["sprung"]);
    masses["sprung"] = sprung;
}

// The axle's position in its slot, before and now. If the axle was moved, the arm's length changes with it.
void read_slot(const Json* was, const Json* chain, BikeCase& out, FirstError& error) {
    const auto number = [&](const Json* from, const char* key) -> std::optional<double> {
        if (!from || !from->contains(key)) return std::nullopt;
        return number_at((*from)[key], std::string("bike.chain.") + key, {"position", 0, 300}, error);
    };
    const auto now = number(chain, "axle_position_mm"), min = number(chain, "axle_min_mm"),
               max = number(chain, "axle_max_mm");
    const auto before = number(was, "axle_position_mm");
    out.wanted_slack = mm(number(chain, "wanted_slack_mm").value_or(0.0));
    const int given = now.has_value() + min.has_value() + max.has_value();
    if (error || given == 0) return;
    if (given < 3)
        error = Error{ErrorCode::missing, "bike.chain.axle_position_mm", "with axle_min_mm and axle_max_mm"};
    else if (!(*min <= *now && *now <= *max))
        error = Error{ErrorCode::contradiction, "bike.chain.axle_position_mm",
                      "axle_min_mm and axle_max_mm; " + in_order("min <= position <= max", {*min, *now, *max})};
    if (error) return;
    out.slot = AxleSlot{mm(*now), mm(*min), mm(*max)};
    if (before) out.bike.arm += mm(*now - *before);
}

// If an adjuster moves the chain and no slack target is given, adds one: the slack on the stand as before.
void chain_with_it(BikeCase& c) {
    const bool slack = std::any_of(c.targets.begin(), c.targets.end(), [](const Target& t) { return is_slack(t.what); });
    const bool moves = std::any_of(c.adjusters.begin(), c.adjusters.end(),
                                   [](const WholeAdjuster& a) { return moves_chain(a.what); });
    if (c.targets.empty() || slack || !moves || !c.bike.chain || !c.before.chain) return;
    Target t{};
    t.what = TargetKind::stand_slack;
    c.untold.push_back(c.targets.size());
    c.targets.push_back(t);
}

}  // namespace

bool is_bike_case(std::string_view text) {
    const auto root = parse_strictly(text);
    return root && root->is_object() && root->contains("bike");
}

Outcome measure_aims(BikeCase& c) {
    for (std::size_t i = 0; i < c.adjusters.size(); ++i) {
        const std::string subject = "adjusters[" + std::to_string(i + 1) + "] (";
        const auto sound = in_its_range(c.adjusters[i], subject + std::string(key(c.adjusters[i].what)) + ")");
        if (!sound) return sound;
    }
    if (c.untold.empty()) return Done{};
    const auto was = measured_by(c.before, c.targets);
    if (!was) return of_bike(was.error());
    for (const std::size_t i : c.untold) c.targets[i].value = (*was)[i].value;
    c.untold.clear();
    return Done{};
}

Error of_bike(Error error) {
    if (error.subject.starts_with("map.linkage")) error.subject.replace(0, 3, "bike");
    return error;
}

Result<BikeCase> read_bike_case(std::string_view text, Aims aims) {
    if (text.size() > case_cap) return Error{ErrorCode::too_large, "case", "1 MB"};
    const Result<Json> root = parse_strictly(text);
    if (!root) return root.error();
    if (const auto newer = of_newer_version(*root)) return *newer;
    FirstError error;
    Fields top(&*root, "", {"restand_case", "bike", "new", "targets", "adjusters", "pose", "note"}, error);
    read_version(top);
    BikeCase out;
    out.note = top.text("note").value_or("");
    const Json* bike = top.required_node("bike");
    const BikeRead described = read_bike(bike, error);
    out.before = described.bike;
    out.bike = out.before;
    out.weighed = described.weighed;
    out.engine = described.engine;
    if (described.table) out.measured = MeasuredLinkage{out.before.linkage, out.before.arm, *described.table};
    Json merged = bike ? *bike : Json();
    if (const Json* fresh = top.node("new"); fresh && !error) {
        out.changed = true;
        if (!fresh->is_object()) error = Error{ErrorCode::wrong_type, "new", "an object"};
        // A chain calibrated on the old sprockets keeps its length per link on the new ones.
        const Json of_chain = fresh->is_object() ? fresh->value("chain", Json::object()) : Json::object();
        const auto says = [&](const char* key) { return of_chain.is_object() && of_chain.contains(key); };
        const bool another =
            says("stand_slack_mm") || says("length_mm") || says("elongation_percent") || says("pitch_mm");
        if (!error) merged.merge_patch(*fresh);
        // The slack on the stand was read with the old sprockets and does not apply to the new ones.
        if (merged.contains("chain") && merged["chain"].is_object() && !says("stand_slack_mm"))
            merged["chain"].erase("stand_slack_mm");
        weighed_before(*fresh, described, merged);
        const BikeRead swapped = read_bike(&merged, error);
        out.bike = swapped.bike;
        out.engine = swapped.engine;
        if (swapped.weighed) out.weighed = swapped.weighed;
        if (swapped.table && fresh->contains("linkage_table"))
            out.measured = MeasuredLinkage{out.bike.linkage, out.bike.arm, *swapped.table};
        if (error && error->subject.starts_with("bike.")) error->subject.replace(0, 4, "new");
        if (!error && out.bike.chain && out.before.chain && !another)
            out.bike.chain->length =
                out.before.chain->length * (double(out.bike.chain->links) / out.before.chain->links);
    }
    const auto chain_in = [](const Json* from) -> const Json* {
        return from && from->is_object() && from->contains("chain") ? &(*from)["chain"] : nullptr;
    };
    if (!error) read_slot(chain_in(bike), chain_in(&merged), out, error);
    out.pose = read_pose(top.node("pose"), out.bike, error);
    each(top.node("targets"), "targets", error, [&](const Json& node, const std::string& path) {
        bool has = false;
        out.targets.push_back(read_target(node, path, has, error));
        if (!has) out.untold.push_back(out.targets.size() - 1);
    });
    each(top.node("adjusters"), "adjusters", error, [&](const Json& node, const std::string& path) {
        out.adjusters.push_back(read_adjuster(node, path, out, error));
    });
    if (error) return *error;
    chain_with_it(out);
    if (aims == Aims::as_typed) return out;
    if (const auto measured = measure_aims(out); !measured) return measured.error();
    return out;
}

}  // namespace restand
