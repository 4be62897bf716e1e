// What the ledger answers from its current state.

#include <algorithm>
#include <tuple>

#include "core/ledger/ledger.h"

namespace restand {
namespace {

template <class K, class T>
const T* found(const std::map<K, T>& map, const K& id) {
    const auto it = map.find(id);
    return it == map.end() ? nullptr : &it->second;
}

}  // namespace

const BaselineValue* Baseline::value(End end, Point point) const {
    for (const auto& v : body.values)
        if (v.end == end && v.stored.reading.point == point) return &v;
    return nullptr;
}

std::vector<const Bike*> Ledger::bikes(bool archived) const {
    std::vector<const Bike*> list;
    for (const auto& [id, bike] : bikes_)
        if (archived || !bike.body.archived) list.push_back(&bike);
    std::stable_sort(list.begin(), list.end(),
                     [](const Bike* a, const Bike* b) { return a->body.name < b->body.name; });
    return list;
}

const Bike* Ledger::bike(const Id& id) const {
    return found(bikes_, id);
}

std::vector<const Person*> Ledger::people() const {
    std::vector<const Person*> list;
    for (const auto& [id, person] : people_) list.push_back(&person);
    std::stable_sort(list.begin(), list.end(),
                     [](const Person* a, const Person* b) { return a->name < b->name; });
    return list;
}

const Person* Ledger::person(const Id& id) const {
    return found(people_, id);
}

UnitChoice Ledger::units() const {
    return units_.empty() ? UnitChoice{} : units_.rbegin()->second;
}

std::vector<const Baseline*> Ledger::baselines(const Id& bike) const {
    std::vector<const Baseline*> list;
    if (const Ordered* of = found(baselines_of_, bike))
        for (auto it = of->rbegin(); it != of->rend(); ++it) list.push_back(baseline(it->second->entry.id));
    return list;
}

const Baseline* Ledger::baseline(const Id& id) const {
    return found(baselines_, id);
}

const Baseline* Ledger::newest_baseline(const Id& bike) const {
    const Ordered* of = found(baselines_of_, bike);
    return of && !of->empty() ? baseline(of->rbegin()->second->entry.id) : nullptr;
}

std::vector<const Swap*> Ledger::swaps(const Id& bike) const {
    std::vector<const Swap*> list;
    if (const std::set<Id>* of = found(swaps_of_, bike))
        for (const Id& id : *of) list.push_back(swap(id));
    std::sort(list.begin(), list.end(), [](const Swap* a, const Swap* b) {
        return std::tie(b->started, b->id) < std::tie(a->started, a->id);
    });
    return list;
}

const Swap* Ledger::swap(const Id& id) const {
    return found(swaps_, id);
}

const Swap* Ledger::open_swap(const Id& bike) const {
    for (const Swap* swap : swaps(bike))
        if (swap->open()) return swap;
    return nullptr;
}

const RestorePlan* Ledger::open_plan(const Id& bike) const {
    const RestorePlan* newest = nullptr;
    for (const auto& [id, plan] : plans_)
        if (plan.bike == bike && !plan.ended && (!newest || newest->started <= plan.started)) newest = &plan;
    return newest;
}

const RestorePlan* Ledger::plan(const Id& id) const {
    return found(plans_, id);
}

std::vector<const ShelfItem*> Ledger::shelf(bool gone) const {
    std::vector<const ShelfItem*> items;
    for (const auto& [id, item] : shelf_)
        if (gone || !item.body.gone) items.push_back(&item);
    std::stable_sort(items.begin(), items.end(),
                     [](const ShelfItem* a, const ShelfItem* b) { return a->body.name < b->body.name; });
    return items;
}

std::vector<const Job*> Ledger::jobs(const Id& bike) const {
    std::vector<const Job*> list;
    if (const auto of = jobs_of_.find(bike); of != jobs_of_.end())
        for (const Id& id : of->second) list.push_back(&jobs_.at(id));  // an id begins with its time
    return list;
}

const Job* Ledger::job(const Id& id) const {
    const auto it = jobs_.find(id);
    return it == jobs_.end() ? nullptr : &it->second;
}

const ShelfItem* Ledger::shelf_item(const Id& id) const {
    return found(shelf_, id);
}

const Device* Ledger::device(std::uint64_t incarnation) const {
    return found(devices_, incarnation);
}

std::string Ledger::device_name(std::uint64_t incarnation) const {
    const Device* d = device(incarnation);
    return d ? d->name : "";
}

std::span<const Fact* const> Ledger::facts_of(const Id& bike) const {
    const auto it = of_bike_.find(bike);
    return it == of_bike_.end() ? std::span<const Fact* const>() : std::span<const Fact* const>(it->second);
}

const Fact* Ledger::fact(const Id& entry) const {
    return found(facts_, entry);
}

}  // namespace restand
