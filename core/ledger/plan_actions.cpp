// The actions of a restore plan: their keys, what a done one sets, and the verdict on what was measured.

#include <utility>

#include "core/ledger/restore_plan.h"

namespace restand {

std::optional<Verdict> PlanActions::verdict() const {
    std::optional<Verdict> worst;
    for (const auto& [end, check] : checks) worst = worse_of(worst.value_or(check.verdict), check.verdict);
    return worst;
}

std::string action_key(Doing doing, End end, Point point) {
    return std::string(key(doing)) + ":" + std::string(key(end)) + ":" + std::string(facts(point).key);
}

bool is_measuring(std::string_view action_key) {
    return action_key.starts_with(key(Doing::measure));
}

std::string_view key(Doing doing) {
    constexpr std::string_view keys[] = {"fit",          "set_length",   "set_preload",
                                         "set_position", "set_axle",     "set_slack",
                                         "set_clicks",   "set_pressure", "measure"};
    return keys[static_cast<int>(doing)];
}

const PlanAction* PlanActions::find(std::string_view key) const {
    for (const auto* list : {&actions, &refits})
        for (const PlanAction& a : *list)
            if (a.key == key) return &a;
    return nullptr;
}

std::vector<SetValue> done(const PlanAction& action) {
    if (!action.brings.empty()) return action.brings;
    if (!action.to) return {};
    Reading reading{action.point, {*action.to}, usual_instrument(action.point), {}};
    if (action.from) {
        reading.instrument = action.from->reading.instrument;
        reading.where = action.from->reading.where;
    }
    return {{action.end, std::move(reading)}};
}

}  // namespace restand
