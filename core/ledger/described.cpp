#include "core/ledger/described.h"

#include <algorithm>
#include <iterator>
#include <utility>

#include "core/ledger/chassis.h"

namespace restand {
namespace {

constexpr End both_ends[] = {End::rear, End::front};

bool stands_alone_known(const BikeBody& bike, const SetUp& setup) {
    constexpr auto alone = static_cast<std::size_t>(State::static_);
    return std::all_of(std::begin(both_ends), std::end(both_ends),
                       [&](End end) { return heights_of(bike, end, setup)[alone].has_value(); });
}

}  // namespace

Clock geometry_typed(std::vector<const Fact*> entries) {
    std::erase_if(entries, [](const Fact* f) { return !std::holds_alternative<BikeBody>(f->body); });
    if (entries.empty()) return {};
    std::sort(entries.begin(), entries.end(),
              [](const Fact* a, const Fact* b) { return earlier(a->entry, b->entry); });
    const auto geometry = [](const Fact* f) -> const Geometry& {
        return std::get<BikeBody>(f->body).geometry;
    };
    auto oldest = entries.rbegin();
    while (std::next(oldest) != entries.rend() && geometry(*std::next(oldest)) == geometry(entries.back()))
        ++oldest;
    return (*oldest)->entry.clock;
}

Clock geometry_typed(const Ledger& ledger, const Id& bike) {
    const auto later = ledger.facts_of(bike);
    std::vector<const Fact*> entries(later.begin(), later.end());
    if (const Fact* first = ledger.fact(bike)) entries.push_back(first);
    return geometry_typed(std::move(entries));
}

std::optional<SetUp> setup_described(const Ledger& ledger, const Id& bike, Clock until) {
    const Bike* known = ledger.bike(bike);
    const Clock typed = geometry_typed(ledger, bike);
    if (known)
        if (SetUp then = setup_at(bike, ledger.facts_of(bike), typed); stands_alone_known(known->body, then))
            return then;
    auto baselines = ledger.baselines(bike);
    std::erase_if(baselines, [&](const Baseline* b) { return b->clock > until; });
    if (baselines.empty()) return std::nullopt;
    const auto first = std::find_if(baselines.rbegin(), baselines.rend(), [&](const Baseline* b) {
        return b->clock > typed && describes(b->body);
    });
    return setup_of(first != baselines.rend() ? **first : *baselines.front());
}

bool describes(const BaselineBody& baseline) {
    return std::all_of(std::begin(both_ends), std::end(both_ends), [&](End end) {
        return std::any_of(baseline.values.begin(), baseline.values.end(), [end](const BaselineValue& v) {
            return v.end == end && v.stored.reading.point == Point::ride_height_static;
        });
    });
}

}  // namespace restand
