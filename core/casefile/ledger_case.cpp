#include "core/casefile/ledger_case.h"

#include <algorithm>
#include <cmath>

#include "core/casefile/case_fields.h"
#include "core/casefile/ledger_fields.h"
#include "core/codec/body_json.h"
#include "core/codec/fields.h"
#include "core/ledger/described.h"
#include "core/ledger/whole_bike.h"

namespace restand {
namespace {

using namespace case_file;

std::string element(const std::string& path, std::size_t i) {
    return path + "[" + std::to_string(i + 1) + "]";
}

// A key that is left out when a body is written again is unknown, unless it states nothing. "value…" beside
// the repeats says again what they say.
void same_keys(const Json& given, const Json& known, const std::string& path, FirstError& error) {
    if (error) return;
    if (given.is_array() && known.is_array() && given.size() == known.size())
        for (std::size_t i = 0; i < given.size(); ++i) same_keys(given[i], known[i], element(path, i), error);
    if (!given.is_object() || !known.is_object()) return;
    for (const auto& [key, value] : given.items()) {
        const std::string here = path + "." + key;
        const auto found = known.find(key);
        const bool empty = value.is_null() || value == false || value == "" || value == Json::array() ||
                           value == Json::object();
        if (found == known.end() && !empty) error = Error{ErrorCode::unknown_key, here, ""};
        if (error) return;
        if (found == known.end()) continue;
        const bool differs = key.starts_with("value") && value.is_number() && found->is_number() &&
                             std::fabs(value.get<double>() - found->get<double>()) >
                                 1e-6 * (1.0 + std::fabs(found->get<double>()));
        if (differs) error = Error{ErrorCode::contradiction, here, "repeats"};
        same_keys(value, *found, here, error);
    }
}

// A body of this kind, with no key that its writer does not know. `path` stands before the body's own keys.
template <class B>
B read_body(const char* kind, const Json& node, const std::string& path, FirstError& error) {
    if (error) return {};
    const auto body = body_from_json(kind, node.dump());
    if (!body) {
        Error e = body.error();
        e.subject = path + "." + e.subject;
        error = std::move(e);
        return {};
    }
    const auto known = parse_strictly(body_json(*body));
    if (known) same_keys(node, *known, path, error);
    return std::get<B>(*body);
}

// A value may be given by its number alone: "value_mm": 312.5 in place of the repeats.
Json with_repeats(const Json& given) {
    Json value = given;
    if (!value.is_object() || value.contains("repeats") || !value.contains("point")) return value;
    const Json& name = value["point"];
    const auto point = name.is_string() ? point_of_key(name.get<std::string>()) : std::nullopt;
    if (!point || is_text(*point)) return value;
    const Dimension dimension = facts(*point).dimension;
    const auto number = value.find("value" + unit_suffix(dimension));
    if (number == value.end() || !number->is_number()) return value;
    const Unit unit = chosen({}, dimension);
    value["repeats"] = Json::array(
        {Json{{"text", Json(from_canonical(number->get<double>(), unit)).dump()}, {"unit", key(unit)}}});
    return value;
}

// The list on one line a value, as a person would write it.
void write_values(std::string& out, const char* name, const std::vector<SetValue>& values) {
    const auto body = parse_strictly(body_json(ChangeBody{{}, values}));
    out += std::string(",\n  \"") + name + "\": [";
    const char* before = "\n    ";
    for (const Json& value : (*body)["values"]) {
        Json kept = Json::object();
        for (const auto& [key, member] : value.items())
            if (!key.starts_with("value")) kept[key] = member;
        out += before + kept.dump();
        before = ",\n    ";
    }
    out += "]";
}

std::vector<SetValue> values_of(const SetUp& setup) {
    std::vector<SetValue> values;
    for (const auto& [place, stored] : setup.values) values.push_back({place.first, stored.reading});
    return values;
}

}  // namespace

bool is_ledger_case(std::string_view text) {
    const auto root = parse_strictly(text);
    return root && is_of_ledger(*root);
}

LedgerCase ledger_case_of(const Ledger& ledger, const Bike& bike) {
    const SetUp stands = expected_now(ledger, bike);
    const SetUp described = setup_described(ledger, bike.id).value_or(stands);
    LedgerCase c{{}, bike.body, values_of(stands), values_of(described)};
    if (c.described == c.set_up) c.described.clear();
    // The slack tells about the chain that is on now.
    if (stands.stored(End::rear, Point::chain_slack))
        std::erase_if(c.described, [](const SetValue& v) { return v.reading.point == Point::chain_slack; });
    return c;
}

std::string write_ledger_case(const LedgerCase& c) {
    std::string out = "{ \"restand_case\": " + std::to_string(ledger_version);
    if (!c.note.empty())
        out += ",\n  \"note\": " + Json(c.note).dump(-1, ' ', false, Json::error_handler_t::replace);
    const auto bike = parse_strictly(body_json(c.bike));
    out += ",\n  \"bike\": {";
    const char* before = "\n    ";
    for (const auto& [key, value] : bike->items()) {
        out += before + Json(key).dump() + ": " + value.dump();
        before = ",\n    ";
    }
    out += "}";
    write_values(out, "set_up", c.set_up);
    if (!c.described.empty()) write_values(out, "described", c.described);
    return out + " }\n";
}

Result<LedgerCase> read_ledger_case(std::string_view text) {
    if (text.size() > case_cap) return Error{ErrorCode::too_large, "case", "1 MB"};
    const auto root = parse_strictly(text);
    if (!root) return root.error();
    if (const auto newer = of_newer_version(*root)) return *newer;
    if (!is_of_ledger(*root)) return Error{ErrorCode::not_ours, "restand_case", "no \"restand_case\": 2"};
    FirstError error;
    Fields top(&*root, "", ledger_keys, error);
    LedgerCase c = read_ledger_bike(*root, error);
    c.note = top.text("note").value_or("");
    if (error) return *error;
    c.asks = top.has("new") || top.has("targets") || top.has("adjusters") || top.has("pose");
    return c;
}

SetUp setup_of(const std::vector<SetValue>& values) {
    SetUp setup;
    for (const SetValue& v : values) setup.values[{v.end, v.reading.point}] = {v.reading, {}, {}, {}, {}, {}};
    setup.read_with = setup.values;
    return setup;
}

namespace case_file {

bool is_of_ledger(const Json& root) {
    if (!root.is_object()) return false;
    const auto version = root.find("restand_case");
    return version != root.end() && *version == ledger_version;
}

std::vector<SetValue> read_values(const Json* node, const std::string& key, FirstError& error) {
    if (!node || error) return {};
    if (!node->is_array()) {
        error = Error{ErrorCode::wrong_type, key, "a list of values"};
        return {};
    }
    std::vector<SetValue> values;
    for (std::size_t i = 0; i < node->size() && !error; ++i) {
        const Json body{{"values", Json::array({with_repeats((*node)[i])})}};
        auto read = read_body<ChangeBody>("change", body, element(key, i), error);
        if (error) {  // "set_up[3].values[0].point": the list of one is ours
            const auto at = error->subject.find(".values[");
            if (at != std::string::npos) error->subject.erase(at, std::string_view(".values[0]").size());
            return {};
        }
        const SetValue& value = read.values.front();
        const auto twice = std::any_of(values.begin(), values.end(), [&](const SetValue& v) {
            return v.end == value.end && v.reading.point == value.reading.point;
        });
        if (twice) error = Error{ErrorCode::contradiction, element(key, i), "given twice"};
        values.push_back(value);
    }
    return values;
}

LedgerCase read_ledger_bike(const Json& root, FirstError& error) {
    LedgerCase c;
    const auto node = [&](const char* key) -> const Json* {
        const auto found = root.find(key);
        return found == root.end() ? nullptr : &*found;
    };
    const Json* bike = node("bike");
    if (!bike) error = Error{ErrorCode::missing, "bike", ""};
    if (bike) c.bike = read_body<BikeBody>("bike", *bike, "bike", error);
    c.set_up = read_values(node("set_up"), "set_up", error);
    c.described = read_values(node("described"), "described", error);
    c.swap = read_swap(node("swap"), error);
    for (const char* other : {"new", "targets", "adjusters"})
        if (c.swap && node(other))
            error = Error{ErrorCode::contradiction, "swap", std::string(other) + "; a case has one"};
    return c;
}

}  // namespace case_file
}  // namespace restand
