#include "platform/terminal/list_json.h"

#include <chrono>
#include <cstdio>

#include "core/codec/body_json.h"
#include "core/codec/strict_json.h"
#include "platform/terminal/answer_fields.h"

namespace restand {
namespace {

using answer_fields::printed;

Json name_of(const Ledger& ledger, const Id& person) {
    const Person* found = ledger.person(person);
    return found ? Json(found->name) : Json(nullptr);
}

Json head_of(const Ledger& ledger, const Baseline& baseline) {
    const Bike* bike = ledger.bike(baseline.bike);
    Json out;
    out["id"] = to_text(baseline.id);
    out["bike"] = bike ? Json(bike->body.name) : Json(nullptr);
    out["at_ms"] = baseline.clock.ms;
    out["at"] = utc_text(baseline.clock.ms);
    out["by"] = name_of(ledger, baseline.by);
    out["swap"] = baseline.swap.nil() ? Json(nullptr) : Json(to_text(baseline.swap));
    out["reason"] = baseline.body.reason;
    return out;
}

}  // namespace

std::string utc_text(std::int64_t ms) {
    using namespace std::chrono;
    const sys_time<milliseconds> at{milliseconds(ms)};
    const auto day = floor<days>(at);
    const year_month_day date{day};
    const hh_mm_ss time{floor<minutes>(at - day)};
    char text[64];
    std::snprintf(text, sizeof text, "%04d-%02u-%02u %02d:%02d UTC", int(date.year()), unsigned(date.month()),
                  unsigned(date.day()), int(time.hours().count()), int(time.minutes().count()));
    return text;
}

std::string bikes_json(const Ledger& ledger) {
    Json out = Json::array();
    for (const bool archived : {false, true})
        for (const Bike* bike : ledger.bikes(archived)) {
            if (bike->body.archived != archived) continue;
            const Baseline* newest = ledger.newest_baseline(bike->id);
            out.push_back({{"id", to_text(bike->id)},
                           {"name", bike->body.name},
                           {"note", bike->body.note},
                           {"archived", bike->body.archived},
                           {"newest_baseline", newest ? Json(to_text(newest->id)) : Json(nullptr)},
                           {"swap_open", ledger.open_swap(bike->id) != nullptr}});
        }
    return printed(out);
}

std::string baselines_json(const Ledger& ledger, const Id& bike) {
    Json out = Json::array();
    for (const Baseline* baseline : ledger.baselines(bike)) out.push_back(head_of(ledger, *baseline));
    return printed(out);
}

std::string baseline_json(const Ledger& ledger, const Baseline& baseline) {
    Json out = head_of(ledger, baseline);
    // The values as in the ledger's own body: readings as typed, who, when, from which swap.
    const Json body = Json::parse(body_json(baseline.body), nullptr, false);
    out["values"] = body.is_object() && body.contains("values") ? body["values"] : Json::array();
    return printed(out);
}

}  // namespace restand
