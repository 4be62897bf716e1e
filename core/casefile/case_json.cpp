#include "core/casefile/case_json.h"

#include <array>
#include <cmath>
#include <memory>

#include "core/casefile/fork_fields.h"
#include "core/ledger/fitted_unit.h"
#include "core/machine/bike.h"

namespace restand {
namespace {

using namespace case_file;

constexpr Range height_range = {"height", 0, 2000, true};
constexpr Range ratio_range = {"ratio", 0.3, 6, true};
constexpr Range scale_range = {"scale", 0.1, 10};
constexpr Range height_tolerance_range = {"tolerance", 0, 50, true};
constexpr Range hanging_range = {"mass", 0, 200};
constexpr Range load_mass_range = {"mass", -500, 500};
constexpr Range ahead_range = {"place", -1000, 3000};
constexpr Range wheelbase_range = {"wheelbase", 500, 3000};
constexpr Range input_uncertainty_range = {"uncertainty", 0, 1000};
constexpr Range any_range = {"number", -1e6, 1e6};

// The range of an adjuster whose ends are unknown.
constexpr Length lowest = mm(1.0);
constexpr Length highest = mm(2000.0);
constexpr double fork_step_mm = 0.5;  // settable without a thread (common practice, P-19)

std::optional<HeightMap> read_map(const Json* node, FirstError& error) {
    Fields map(node, "map", {"leverage", "pairs", "linkage", "arm_mm", "tail_mark_mm"}, error);
    if (error) return std::nullopt;
    const int given = map.has("leverage") + map.has("pairs") + map.has("linkage");
    if (given > 1)
        map.refuse(ErrorCode::contradiction, map.has("leverage") ? "leverage" : "pairs",
                   map.has("leverage") && map.has("pairs") ? "pairs; give one" : "linkage; give one");
    if (given == 0) map.refuse(ErrorCode::missing, "leverage", "or map.pairs, or map.linkage");
    if (!map.has("linkage"))
        for (const char* key : {"arm_mm", "tail_mark_mm"})
            if (map.has(key)) map.refuse(ErrorCode::contradiction, key, "map; only with map.linkage");

    Result<HeightMap> made = Error{ErrorCode::missing, "map", ""};
    if (const auto ratio = map.number("leverage", ratio_range)) {
        made = HeightMap::leverage(*ratio);
    } else if (const Json* list = map.node("pairs")) {
        std::vector<std::pair<Length, Length>> pairs;
        for (const auto& [l, h] : number_pairs(*list, "map.pairs", length_range, height_range, error))
            pairs.emplace_back(mm(l), mm(h));
        if (!error) made = HeightMap::pairs(pairs);
    } else if (const Json* points = map.node("linkage")) {
        const Linkage linkage = read_linkage(points, "map.linkage", error);
        const Length arm = mm(map.required("arm_mm", length_range));
        std::optional<PlanePoint> mark;
        if (map.has("tail_mark_mm")) mark = point_at(map, "tail_mark_mm", error);
        if (error) return std::nullopt;
        const auto closes = LinkageMap::of(linkage);
        made = closes ? HeightMap::linkage(*closes, arm, mark) : Result<HeightMap>(closes.error());
    }
    if (error) return std::nullopt;
    if (made) return *made;
    error = made.error();
    return std::nullopt;
}

// A length key of the other end gets an error that names the right key, instead of 'unknown key'.
void of_this_end(Fields& unit, End end) {
    const bool rear = end == End::rear;
    for (const std::string_view key : {"fork_length_mm", "fork_position_mm"})
        if (rear && unit.has(key)) unit.refuse(ErrorCode::contradiction, key, "end; rear has eye_to_eye_mm");
    for (const std::string_view key : {"other_leg", "oil"})
        if (rear && unit.has(key)) unit.refuse(ErrorCode::contradiction, key, "end; a fork has it");
    if (!rear && unit.has("eye_to_eye_mm"))
        unit.refuse(ErrorCode::contradiction, "eye_to_eye_mm",
                    "end; front has fork_length_mm and fork_position_mm");
}

int usual_legs(End end) {
    return end == End::rear ? 1 : 2;
}

struct Forks {
    std::optional<Length> before, after;
};

void read_old(const Json* node, End end, SuspensionUnit& out, Forks& forks, FirstError& error) {
    Fields unit(node, "baseline.unit", unit_keys, error);
    of_this_end(unit, end);
    read_common(unit, "baseline.unit", usual_legs(end), out, error);
    Fields spring(
        unit.required_node("spring"), "baseline.unit.spring",
        {"rate_n_per_mm", "force_table", "free_length_mm", "installed_length_mm", "block_length_mm"}, error);
    out.spring = read_spring(spring, out, error);
    out.installed_length = mm(spring.required("installed_length_mm", length_range));
    if (!error) not_loose(spring, out, "installed_length_mm");
    read_legs_and_oil(unit, "baseline.unit", "installed_length_mm", out, error);
    if (end == End::rear) {
        out.length = mm(unit.required("eye_to_eye_mm", length_range));
    } else {
        if (const auto tube = unit.number("fork_length_mm", length_range)) forks.before = mm(*tube);
        out.length =
            -mm(unit.required("fork_position_mm", position_range));  // the fork length is added later
    }
}

// A number, or {min, max, now, mm_per_turn, detent_turns, detent_mm}. Error: contradiction if min > max or
// `now` is outside.
Adjuster read_unit_adjuster(const Json* node, const std::string& path, const Range& range,
                            FirstError& error) {
    Adjuster a;
    if (error || !node) return a;
    if (!node->is_object()) {
        a.min = a.max = a.now = mm(number_at(*node, path, range, error).value_or(0.0));
        return a;
    }
    Fields f(node, path, {"min", "max", "now", "mm_per_turn", "detent_turns", "detent_mm"}, error);
    a.now = mm(f.required("now", range));
    const auto min = f.number("min", range), max = f.number("max", range);
    a.min = min ? mm(*min) : std::min(lowest, a.now);
    a.max = max ? mm(*max) : highest;
    if (min && max && *min > *max)
        f.refuse(ErrorCode::contradiction, "min", "max; " + in_order("min <= max", {*min, *max}));
    if (a.now < a.min || a.now > a.max)
        f.refuse(ErrorCode::contradiction, "now",
                 "min and max; " + in_order("min <= now <= max", {in_mm(a.min), in_mm(a.now), in_mm(a.max)}));
    if (const auto pitch = f.number("mm_per_turn", pitch_range)) a.per_turn = mm(*pitch);
    if (const auto step = f.number("detent_turns", step_range)) a.detent_turns = *step;
    if (const auto step = f.number("detent_mm", pitch_range)) a.detent = mm(*step);
    return a;
}

Adjuster read_spring_adjuster(Fields& spring, const SuspensionUnit& unit) {
    Adjuster a;
    const auto now = spring.number("installed_length_now_mm", length_range);
    const auto min = spring.number("installed_length_min_mm", length_range);
    const auto max = spring.number("installed_length_max_mm", length_range);
    const auto pitch = spring.number("collar_mm_per_turn", pitch_range);
    a.now = now ? mm(*now) : unit.spring.free_length;
    a.min = min ? mm(*min) : lowest;
    a.max = max ? mm(*max) : highest;
    if (!now) {  // unknown collar position: start anywhere inside the range and state no turns
        a.now = std::clamp(a.now, a.min, std::max(a.min, a.max));
    } else if (pitch) {
        a.per_turn = mm(*pitch);
    }
    if (const auto step = spring.number("collar_detent_turns", step_range)) a.detent_turns = *step;
    if (min && max && *min > *max)
        spring.refuse(ErrorCode::contradiction, "installed_length_min_mm",
                      "installed_length_max_mm; " + in_order("min <= max", {*min, *max}));
    if (a.now < a.min || a.now > a.max)
        spring.refuse(ErrorCode::contradiction, "installed_length_now_mm",
                      "installed_length_min_mm and installed_length_max_mm; " +
                          in_order("min <= now <= max", {in_mm(a.min), in_mm(a.now), in_mm(a.max)}));
    return a;
}

void read_new_unit(const Json* node, SwapCase& out, Forks& forks, FirstError& error) {
    Fields unit(node, "new_unit", unit_keys, error);
    of_this_end(unit, out.end);
    read_common(unit, "new_unit", usual_legs(out.end), out.new_unit, error);
    Fields spring(
        unit.required_node("spring"), "new_unit.spring",
        {"rate_n_per_mm", "force_table", "free_length_mm", "block_length_mm", "installed_length_now_mm",
         "collar_mm_per_turn", "collar_detent_turns", "installed_length_min_mm", "installed_length_max_mm"},
        error);
    out.new_unit.spring = read_spring(spring, out.new_unit, error);
    out.installed = read_spring_adjuster(spring, out.new_unit);
    out.new_unit.installed_length = out.installed.now;
    if (!error) not_loose(spring, out.new_unit, "installed_length_now_mm");
    // Both caps are turned by the same amount. The difference between the springs is known only if both were
    // measured. With a top-out spring the length depends on the preload at which it was read.
    for (const char* key : {"other_leg", "top_out_spring"})
        if (unit.has(key) && !spring.has("installed_length_now_mm"))
            spring.refuse(ErrorCode::missing, "installed_length_now_mm", std::string("with ") + key);
    read_legs_and_oil(unit, "new_unit", "installed_length_now_mm", out.new_unit, error);
    if (out.end == End::rear) {
        out.length = read_unit_adjuster(unit.required_node("eye_to_eye_mm"), "new_unit.eye_to_eye_mm",
                                        length_range, error);
    } else {
        if (const auto tube = unit.number("fork_length_mm", length_range)) forks.after = mm(*tube);
        out.length = read_unit_adjuster(unit.required_node("fork_position_mm"), "new_unit.fork_position_mm",
                                        position_range, error);
    }
}

// Unit length of a fork = fork length − position in the yokes; a larger position is a shorter unit.
void positions_to_lengths(SwapCase& swap, const Forks& forks, std::optional<Length>& fork_length) {
    const Length any = forks.before.value_or(forks.after.value_or(usual_fork_length));
    swap.before.unit.length += forks.before.value_or(any);
    const Length tube = forks.after.value_or(any);
    const Adjuster position = swap.length;
    swap.length.now = tube - position.now;
    swap.length.min = std::max(lowest, tube - position.max);
    swap.length.max = tube - position.min;
    if (!swap.length.per_turn && position.detent == mm(0.0)) swap.length.detent = mm(fork_step_mm);
    fork_length = tube;
}

void read_heights(const Json* node, SwapCase& out, FirstError& error) {
    Fields heights(node, "baseline.ride_height_mm", {"topped_out", "static", "rider"}, error);
    out.before.topped_out = mm(heights.required("topped_out", height_range));
    if (const auto h = heights.number("static", height_range)) out.before.static_ = mm(*h);
    if (const auto h = heights.number("rider", height_range)) out.before.rider = mm(*h);
    if (!heights.has("static") && !heights.has("rider"))
        heights.refuse(ErrorCode::missing, "rider", "or static");
}

// What the wheel carries more by masses at their places: a mass `ahead_mm` of the rear axle puts the share
// 1 − ahead/wheelbase on the rear wheel, the rest on the front one.
std::array<Force, 3> read_loads(Fields& top, End end, FirstError& error) {
    std::array<Force, 3> more{};
    const auto wheelbase = top.number("wheelbase_mm", wheelbase_range);
    const Json* list = top.node("loads");
    if (!list) return more;
    if (!wheelbase) top.refuse(ErrorCode::missing, "wheelbase_mm", "with loads");
    each(list, "loads", error, [&](const Json& item, const std::string& path) {
        Fields load(&item, path, {"kg", "ahead_mm", "state"}, error);
        const double kg = load.required("kg", load_mass_range),
                     ahead = load.required("ahead_mm", ahead_range);
        const auto state = load.text("state");
        if (state && state != "rider") load.refuse(ErrorCode::out_of_range, "state", "\"rider\"");
        if (error) return;
        const double forward = ahead / *wheelbase, share = end == End::rear ? 1.0 - forward : forward;
        const Force by = newton(standard_gravity * kg * share);
        if (!state) more[static_cast<std::size_t>(State::static_)] += by;
        more[static_cast<std::size_t>(State::rider)] += by;
    });
    return more;
}

const std::initializer_list<std::string_view> top_keys = {
    "restand_case", "end",          "map",        "baseline",    "new_unit",     "load_scale",
    "loads",        "wheelbase_mm", "hanging_kg", "uncertainty", "tolerance_mm", "note"};

End read_end(Fields& top) {
    if (!top.has("end")) top.refuse(ErrorCode::missing, "end", "\"rear\" or \"front\"");
    const std::string end = top.text("end").value_or("rear");
    if (end != "rear" && end != "front") top.refuse(ErrorCode::out_of_range, "end", "\"rear\" or \"front\"");
    return end == "front" ? End::front : End::rear;
}

// The core names a unit's length "eye_to_eye_mm"; in a front case the key is the position in the yokes.
Error named_for(End end, Error error) {
    const std::size_t at = error.subject.find("eye_to_eye_mm");
    if (end == End::front && at != std::string::npos)
        error.subject.replace(at, std::string_view("eye_to_eye_mm").size(), "fork_position_mm");
    return error;
}

Result<CaseFile> build(const Json& root) {
    FirstError error;
    if (const auto newer = of_newer_version(root)) return *newer;
    Fields top(&root, "", top_keys, error);
    read_version(top);
    const End end = read_end(top);
    const std::optional<HeightMap> map = read_map(top.required_node("map"), error);
    Fields baseline(top.required_node("baseline"), "baseline", {"unit", "ride_height_mm"}, error);
    if (error || !map) return *error;

    SwapCase swap{.end = end,
                  .map = *map,
                  .before = {},
                  .new_unit = {},
                  .length = {},
                  .installed = {},
                  .load_scale = 1.0,
                  .tolerance = mm(1.0)};
    Forks forks;
    read_heights(baseline.required_node("ride_height_mm"), swap, error);
    read_old(baseline.required_node("unit"), end, swap.before.unit, forks, error);
    read_new_unit(top.required_node("new_unit"), swap, forks, error);
    swap.load_scale = top.number("load_scale", scale_range).value_or(1.0);
    swap.more_load = read_loads(top, end, error);
    swap.tolerance = mm(top.number("tolerance_mm", height_tolerance_range).value_or(1.0));
    swap.hanging = newton(standard_gravity * top.number("hanging_kg", hanging_range).value_or(0.0));
    std::string note = top.text("note").value_or("");
    if (error) return *error;

    std::optional<Length> fork_length;
    if (end == End::front) positions_to_lengths(swap, forks, fork_length);
    swap.new_unit.length = swap.length.now;
    if (const Outcome plausible = validate(swap); !plausible) return named_for(end, plausible.error());
    return CaseFile{swap, fork_length, note, {}, {}, {}};
}

// What stands at this path; nullptr: nothing.
Json* node_by_path(Json& root, std::string_view path) {
    Json* node = &root;
    while (!path.empty() && node->is_object()) {
        const std::size_t dot = path.find('.');
        const auto found = node->find(std::string(path.substr(0, dot)));
        if (found == node->end()) return nullptr;
        node = &*found;
        path = dot == std::string_view::npos ? "" : path.substr(dot + 1);
    }
    return path.empty() ? node : nullptr;
}

std::vector<CaseDefault> defaults_of(Json& root, const CaseFile& c) {
    std::vector<CaseDefault> list = {{"baseline.unit.gas_force_n", 0.0}, {"new_unit.gas_force_n", 0.0}};
    // Of two forks the one that gives its length stands for both: `fork_length` is then that one's.
    if (c.fork_length)
        for (const char* path : {"baseline.unit.fork_length_mm", "new_unit.fork_length_mm"})
            list.push_back({path, in_mm(*c.fork_length)});
    if (!node_by_path(root, "loads")) list.push_back({"load_scale", c.swap.load_scale});
    list.push_back({"tolerance_mm", in_mm(c.swap.tolerance)});
    std::erase_if(list, [&](const CaseDefault& d) { return node_by_path(root, d.what) != nullptr; });
    return list;
}

// The number at this path; nullptr if there is none.
Json* number_by_path(Json& root, std::string_view path) {
    Json* const node = node_by_path(root, path);
    return node && node->is_number() ? node : nullptr;
}

void read_uncertainty(Json& root, CaseFile& out, FirstError& error) {
    const auto found = root.find("uncertainty");
    if (found == root.end()) return;
    if (!found->is_object()) {
        error = Error{ErrorCode::wrong_type, "uncertainty", "an object { \"field path\": number, … }"};
        return;
    }
    for (const auto& [path, u] : found->items()) {
        Json* number = path == "restand_case" ? nullptr : number_by_path(root, path);
        if (!number) error = Error{ErrorCode::not_found, "uncertainty", path.substr(0, 80)};
        const auto value = number_at(u, "uncertainty." + path, input_uncertainty_range, error);
        if (!value) return;
        const double at = number_at(*number, path, any_range, error).value_or(0.0);
        out.inputs.push_back({path, at, *value, infinite_dof});
    }
}

}  // namespace

Result<CaseFile> read_case(std::string_view text) {
    if (text.size() > case_cap) return Error{ErrorCode::too_large, "case", "1 MB"};
    Result<Json> parsed = parse_strictly(text);
    if (!parsed) return parsed.error();
    Result<CaseFile> made = build(*parsed);
    if (!made) return made;
    made->assumed = defaults_of(*parsed, *made);
    FirstError error;
    read_uncertainty(*parsed, *made, error);
    if (error) return *error;

    // Inputs vary in the parsed tree of the file, so a path means the same field here as in the file.
    auto root = std::make_shared<const Json>(std::move(*parsed));
    std::vector<std::string> paths;
    for (const Input& input : made->inputs) paths.push_back(input.name);
    made->remake = [root, paths](std::span<const double> values) -> Result<SwapCase> {
        Json varied = *root;
        for (std::size_t i = 0; i < values.size(); ++i) *number_by_path(varied, paths[i]) = values[i];
        Result<CaseFile> again = build(varied);
        if (!again) return again.error();
        return again->swap;
    };
    return made;
}

}  // namespace restand
