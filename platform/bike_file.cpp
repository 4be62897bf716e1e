#include "platform/bike_file.h"

#include <algorithm>

#include "core/codec/body_json.h"
#include "core/ledger/chassis.h"

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

// Heights of an end that were computed, not read: will the ledger compute them again from those described?
bool computes_again(const LedgerCase& c, End end) {
    SetUp setup = setup_of(c.described);
    for (const SetValue& v : c.set_up)
        if (!is_computed(v.reading)) setup.values[{v.end, v.reading.point}].reading = v.reading;
    const EndHeights again = heights_of(c.bike, end, setup);
    constexpr Length as_written = mm(1e-5);
    return std::all_of(c.set_up.begin(), c.set_up.end(), [&](const SetValue& v) {
        if (v.end != end || !is_computed(v.reading)) return true;
        for (std::size_t i = 0; i < again.size(); ++i)
            if (ride_heights[i] == v.reading.point)
                return again[i] && abs(*again[i] - mm(measured(v.reading).value)) < as_written;
        return false;
    });
}

// What changed since it was described. A height that was read is kept even if it is equal: it was read again
// after what changed. One that the ledger computes again is left out.
std::vector<SetValue> since_described(const LedgerCase& c) {
    std::vector<SetValue> changed;
    for (const SetValue& v : c.set_up) {
        if (is_computed(v.reading) && computes_again(c, v.end)) continue;
        const bool same = std::find(c.described.begin(), c.described.end(), v) != c.described.end();
        if (!same || is_ride_height(v.reading.point)) changed.push_back(v);
    }
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
    std::vector<NewEntry> entries{encode(body, {}, {}, by)};
    const bool changed = !c.described.empty();
    const auto& first = changed ? c.described : c.set_up;
    if (!first.empty()) entries.push_back(encode(baseline_with(first, "from " + source), {}, {}, by));
    const ChangeBody change{"from " + source, changed ? since_described(c) : std::vector<SetValue>{}};
    if (!change.values.empty()) entries.push_back(encode(change, {}, {}, by));
    auto written = store.append_new_bike(entries);
    if (!written) return written.error();
    taken.entries = std::move(*written);
    taken.values = c.set_up.size();
    return taken;
}

}  // namespace restand
