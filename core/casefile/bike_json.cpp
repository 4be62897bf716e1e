#include "core/casefile/bike_json.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "core/casefile/bike_description.h"
#include "core/casefile/ledger_fields.h"

namespace restand {
namespace {

using namespace case_file;

constexpr Range value_range = {"value", -1e5, 1e5};
constexpr Range weight_range = {"weight", 0, 1e6};
constexpr Range target_tolerance_range = {"tolerance", 0, 1000, true};

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
    t.tolerance = f.number("tolerance", target_tolerance_range);
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

// What is read of an adjustable; of a unit with a top-out spring, unloaded.
double adjustable_as_read(const WholeBike& bike, Adjustable what) {
    const double is = value(bike, what);
    switch (what) {
        case Adjustable::shock_length:
        case Adjustable::shock_installed:
            return is - in_mm(unloaded_travel(bike.shock));
        case Adjustable::fork_installed:
            return is - in_mm(unloaded_travel(bike.fork));
        default:
            return is;
    }
}

// Without "now" an adjuster stands as the bike has it. The axle's position is read in its slot.
WholeAdjuster read_bike_adjuster(const Json& node, const std::string& path, const BikeCase& c,
                                 FirstError& error) {
    const WholeBike& bike = c.bike;
    Fields f(&node, path, {"what", "now", "min", "max", "step", "per_turn", "step_turns"}, error);
    WholeAdjuster a{};
    a.what = read_what<Adjustable>(f, adjustable_count);
    if (a.what == Adjustable::arm && c.slot) {
        a.now = f.number("now", value_range).value_or(c.slot->now.value);
        a.min = f.number("min", value_range).value_or(c.slot->min.value);
        a.max = f.number("max", value_range).value_or(c.slot->max.value);
    } else {
        a.now = f.number("now", value_range).value_or(adjustable_as_read(bike, a.what));
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
        error =
            Error{ErrorCode::contradiction, "bike.chain.axle_position_mm",
                  "axle_min_mm and axle_max_mm; " + in_order("min <= position <= max", {*min, *now, *max})};
    if (error) return;
    out.slot = AxleSlot{mm(*now), mm(*min), mm(*max)};
    if (before) out.bike.arm += mm(*now - *before);
}

// Lays "new" over the bike and reads the result; `merged` is then its text.
void read_new_bike(const Json& fresh, const BikeRead& described, Json& merged, BikeCase& out,
                   FirstError& error) {
    out.changed = true;
    if (!fresh.is_object()) {
        error = Error{ErrorCode::wrong_type, "new", "an object"};
        return;
    }
    // A chain calibrated on the old sprockets keeps its length per link on the new ones.
    const Json of_chain = fresh.value("chain", Json::object());
    const auto says = [&](const char* key) { return of_chain.is_object() && of_chain.contains(key); };
    const bool another =
        says("stand_slack_mm") || says("length_mm") || says("elongation_percent") || says("pitch_mm");
    merged.merge_patch(fresh);
    // The slack on the stand was read with the old sprockets and does not apply to the new ones.
    if (merged.contains("chain") && merged["chain"].is_object() && !says("stand_slack_mm"))
        merged["chain"].erase("stand_slack_mm");
    weighed_before(fresh, described, merged);
    const BikeRead swapped = read_bike(&merged, error);
    out.bike = swapped.bike;
    out.engine = swapped.engine;
    if (swapped.weighed) out.weighed = swapped.weighed;
    if (swapped.table && fresh.contains("linkage_table"))
        out.measured = MeasuredLinkage{out.bike.linkage, out.bike.arm, *swapped.table};
    if (error && error->subject.starts_with("bike.")) error->subject.replace(0, 4, "new");
    if (!error && out.bike.chain && out.before.chain && !another)
        out.bike.chain->length =
            out.before.chain->length * (double(out.bike.chain->links) / out.before.chain->links);
}

// If an adjuster moves the chain and no slack target is given, adds one: the slack on the stand as before.
void chain_with_it(BikeCase& c) {
    const bool slack =
        std::any_of(c.targets.begin(), c.targets.end(), [](const Target& t) { return is_slack(t.what); });
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
    return root && root->is_object() && (root->contains("bike") || is_of_ledger(*root));
}

Outcome measure_aims(BikeCase& c) {
    for (std::size_t i = 0; i < c.adjusters.size(); ++i) {
        const std::string subject = "adjusters[" + std::to_string(i + 1) + "] (";
        const auto sound =
            in_its_range(c.adjusters[i], subject + std::string(key(c.adjusters[i].what)) + ")");
        if (!sound) return sound;
    }
    if (c.untold.empty()) return Done{};
    const auto was = measured_by(c.before, c.targets);
    if (!was) return of_bike(was.error(), c);
    for (const std::size_t i : c.untold) c.targets[i].value = (*was)[i].value;
    c.untold.clear();
    return Done{};
}

Error of_bike(Error error, const BikeCase& c) {
    if (c.of_ledger) return of_ledger_bike(error, c);
    if (error.subject.starts_with("map.linkage")) error.subject.replace(0, 3, "bike");
    return error;
}

namespace {

const std::initializer_list<std::string_view> bike_keys = {"restand_case", "bike", "new", "targets",
                                                           "adjusters",    "pose", "note"};

// Format 1: "bike", and "new" laid over it.
void read_described_bikes(Fields& top, BikeCase& out, FirstError& error) {
    const Json* bike = top.required_node("bike");
    const BikeRead described = read_bike(bike, error);
    out.before = described.bike;
    out.bike = out.before;
    out.weighed = described.weighed;
    out.engine = described.engine;
    if (described.table) out.measured = MeasuredLinkage{out.before.linkage, out.before.arm, *described.table};
    Json merged = bike ? *bike : Json();
    if (const Json* fresh = top.node("new"); fresh && !error)
        read_new_bike(*fresh, described, merged, out, error);
    const auto chain_in = [](const Json* from) -> const Json* {
        return from && from->is_object() && from->contains("chain") ? &(*from)["chain"] : nullptr;
    };
    if (!error) read_slot(chain_in(bike), chain_in(&merged), out, error);
}

}  // namespace

Result<BikeCase> read_bike_case(std::string_view text, Aims aims) {
    if (text.size() > case_cap) return Error{ErrorCode::too_large, "case", "1 MB"};
    const Result<Json> root = parse_strictly(text);
    if (!root) return root.error();
    if (const auto newer = of_newer_version(*root)) return *newer;
    FirstError error;
    const bool of_ledger = is_of_ledger(*root);
    Fields top(&*root, "", of_ledger ? ledger_keys : bike_keys, error);
    read_version(top);
    BikeCase out;
    out.note = top.text("note").value_or("");
    if (of_ledger && !error)
        read_ledger_bikes(*root, out, error);
    else
        read_described_bikes(top, out, error);
    out.pose = read_pose(top.node("pose"), out.bike, error);
    each(top.node("targets"), "targets", error, [&](const Json& node, const std::string& path) {
        bool has = false;
        out.targets.push_back(read_target(node, path, has, error));
        if (!has) out.untold.push_back(out.targets.size() - 1);
    });
    each(top.node("adjusters"), "adjusters", error, [&](const Json& node, const std::string& path) {
        out.adjusters.push_back(read_bike_adjuster(node, path, out, error));
    });
    if (error) return *error;
    chain_with_it(out);
    if (aims == Aims::as_typed) return out;
    if (const auto measured = measure_aims(out); !measured) return measured.error();
    return out;
}

}  // namespace restand
