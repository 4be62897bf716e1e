#include "platform/bike_file.h"

#include <algorithm>

#include "core/codec/body_json.h"

namespace restand {
namespace {

std::string free_name(const Ledger& ledger, const std::string& wanted) {
    const auto bikes = ledger.bikes(true);
    const auto is_free = [&](const std::string& name) {
        return std::none_of(bikes.begin(), bikes.end(), [&](const Bike* b) { return b->body.name == name; });
    };
    std::string name = wanted;
    for (int n = 2; !is_free(name); ++n) name = wanted + " (" + std::to_string(n) + ")";
    return name;
}

BaselineBody baseline_with(const std::vector<SetValue>& values, std::string reason) {
    BaselineBody body{std::move(reason), {}, {}};
    for (const SetValue& v : values) body.values.push_back({v.end, {v.reading, {}, {}, {}, {}, {}}});
    return body;
}

// The values that are new or different.
std::vector<SetValue> since(const std::vector<SetValue>& then, const std::vector<SetValue>& now) {
    std::vector<SetValue> changed;
    for (const SetValue& v : now)
        if (std::find(then.begin(), then.end(), v) == then.end()) changed.push_back(v);
    return changed;
}

}  // namespace

Result<std::string> bike_file(const Store& store, const Id& bike) {
    Ledger ledger;
    for (const auto& entries :
         {store.opening(), store.of_bike(bike, "baseline"), store.setup(bike, latest)}) {
        if (!entries) return entries.error();
        read_into(ledger, *entries);
    }
    const Bike* found = ledger.bike(bike);
    if (!found) return Error{ErrorCode::not_found, "the bike", ""};
    return write_ledger_case(ledger_case_of(ledger, *found));
}

Result<TakenBike> take_bike(Store& store, const LedgerCase& c, const std::string& source, const Id& by) {
    const auto known = store.opening();
    if (!known) return known.error();
    Ledger ledger;
    read_into(ledger, *known);
    TakenBike taken;
    BikeBody body = c.bike;
    body.name = taken.name = free_name(ledger, c.bike.name);
    body.archived = false;
    const auto append = [&](const NewEntry& entry) -> Result<Id> {
        auto written = store.append(entry);
        if (!written) return written.error();
        taken.entries.push_back(std::move(*written));
        return taken.entries.back().id;
    };
    const auto bike = append(encode(body, {}, {}, by));
    if (!bike) return bike.error();
    const bool changed = !c.described.empty();
    const auto& first = changed ? c.described : c.set_up;
    if (!first.empty())
        if (const auto baseline = append(encode(baseline_with(first, "from " + source), *bike, {}, by));
            !baseline)
            return baseline.error();
    const ChangeBody change{"from " + source,
                            changed ? since(c.described, c.set_up) : std::vector<SetValue>{}};
    if (!change.values.empty())
        if (const auto written = append(encode(change, *bike, {}, by)); !written) return written.error();
    taken.values = c.set_up.size();
    return taken;
}

}  // namespace restand
