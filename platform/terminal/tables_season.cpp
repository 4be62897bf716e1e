#include "platform/terminal/tables_season.h"

#include "app/sentences.h"
#include "core/codec/body_json.h"
#include "core/codec/strict_json.h"
#include "platform/terminal/answer_fields.h"
#include "platform/terminal/list_json.h"

namespace restand {
namespace {

using answer_fields::printed;

Json or_null(const std::optional<double>& v) {
    return v ? Json(*v) : Json(nullptr);
}
// As typed: text and the unit it was typed in.
Json typed(const Typed& one) {
    return {{"text", one.text}, {"unit", symbol(one.unit)}};
}
Json typed(const std::optional<StoredReading>& stored) {
    if (!stored || stored->reading.repeats.empty()) return nullptr;
    Json list = Json::array();
    for (const Typed& one : stored->reading.repeats) list.push_back(typed(one));
    return list;
}

Json difference(const Difference& d) {
    Json out;
    out["end"] = key(d.end);
    const auto* point = std::get_if<Point>(&d.what);
    out["what"] = point ? facts(*point).key : key(std::get<Derived>(d.what));
    out["was"] = or_null(d.was_value);
    out["is"] = or_null(d.is_value);
    out["was_typed"] = typed(d.was);
    out["is_typed"] = typed(d.is);
    out["change"] = or_null(d.change);
    out["u95"] = or_null(d.expanded);
    out["real"] = d.real;
    return out;
}

Json action(const PlanAction& a) {
    Json out;
    out["key"] = a.key;
    out["do"] = key(a.doing);
    out["end"] = key(a.end);
    out["point"] = facts(a.point).key;
    out["from"] = typed(a.from);
    out["to"] = a.to ? typed(*a.to) : Json(nullptr);
    out["turns"] = or_null(a.turns);
    out["clicks"] = or_null(a.clicks);
    out["links"] = a.links ? Json(*a.links) : Json(nullptr);
    out["computed"] = a.solved;
    out["expect"] = or_null(a.expect);
    return out;
}

}  // namespace

std::string history_json(std::span<const Entry> moments, const std::set<Id>& set_aside, const Ledger& names) {
    Json out = Json::array();
    for (const Entry& entry : moments) {
        const Person* by = names.person(entry.by);
        Json body = Json::parse(entry.body, nullptr, false);
        out.push_back({{"id", to_text(entry.id)},
                       {"kind", entry.kind},
                       {"at_ms", entry.clock.ms},
                       {"at", utc_text(entry.clock.ms)},
                       {"by", by ? Json(by->name) : Json(nullptr)},
                       {"set_aside", set_aside.contains(entry.id)},
                       {"body", body.is_discarded() ? Json(nullptr) : std::move(body)}});
    }
    return printed(out);
}

std::string comparison_json(const Comparison& comparison) {
    Json out{{"changed", Json::array()}, {"same", Json::array()}};
    for (const Difference& d : comparison.changed) out["changed"].push_back(difference(d));
    for (const Difference& d : comparison.same) out["same"].push_back(difference(d));
    return printed(out);
}

std::string plan_json(const PlanActions& plan) {
    Json out{{"held", plan.held},       {"actions", Json::array()}, {"refits", Json::array()},
             {"limits", Json::array()}, {"unsaid", Json::array()},  {"left_out", Json::array()}};
    for (const PlanAction& a : plan.actions) out["actions"].push_back(action(a));
    for (const PlanAction& a : plan.refits) out["refits"].push_back(action(a));
    for (const EndLimit& limit : plan.limits)
        out["limits"].push_back({{"message", sentence(limit, limit.end)},
                                 {"beyond_mm", in_mm(limit.beyond)},
                                 {"bound_mm", in_mm(limit.bound)}});
    for (const Error& error : plan.unsaid)
        out["unsaid"].push_back(
            {{"code", key(error.code)}, {"subject", error.subject}, {"detail", error.detail}});
    for (const LeftOut& left : plan.left_out) {
        Json points = Json::array();
        for (const Point point : left.points) points.push_back(facts(point).key);
        const bool damper = left.why == LeftOut::Why::other_damper;
        out["left_out"].push_back({{"end", key(left.end)},
                                   {"why", damper ? "other_damper" : "not_read_then"},
                                   {"points", std::move(points)}});
    }
    return printed(out);
}

}  // namespace restand
