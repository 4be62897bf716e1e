// The current state, folded from entries in any order.
//
// Every fold asks one question: which entries about this thing are not superseded? An entry may supersede one
// that arrives later. That id is remembered, so that the late entry never stands, not even for a moment.

#include "core/ledger/ledger.h"

#include <algorithm>
#include <tuple>

#include "core/ledger/device_hex.h"

namespace restand {
namespace {

Id or_own(const Id& named, const Entry& entry) {
    return named.nil() ? entry.id : named;
}

Id thing_of(const Fact& fact) {
    const Entry& e = fact.entry;
    if (std::holds_alternative<BikeBody>(fact.body)) return or_own(e.bike, e);
    if (std::holds_alternative<PersonBody>(fact.body) || std::holds_alternative<SwapBody>(fact.body))
        return or_own(e.about, e);
    if (std::holds_alternative<StepBody>(fact.body) || std::holds_alternative<SwapEndBody>(fact.body) ||
        std::holds_alternative<ReadingBody>(fact.body) || std::holds_alternative<PlanStepBody>(fact.body) ||
        std::holds_alternative<PlanEndBody>(fact.body) || std::holds_alternative<PickBody>(fact.body))
        return e.about;
    if (std::holds_alternative<PartBody>(fact.body) || std::holds_alternative<ShelfBody>(fact.body) ||
        std::holds_alternative<JobBody>(fact.body))
        return or_own(e.about, e);
    return e.id;
}

// The only order of entries: by clock, then by id if the clocks of two devices are equal.
auto clock_and_id(const Entry& e) {
    return std::tie(e.clock, e.id);
}
bool older(const Fact* a, const Fact* b) {
    return clock_and_id(a->entry) < clock_and_id(b->entry);
}

template <class T>
const T& body(const Fact* fact) {
    return std::get<T>(fact->body);
}

StoredReading stored_of(const Fact* fact) {
    const auto& r = body<ReadingBody>(fact);
    return {r.reading, fact->entry.id, fact->entry.by, fact->entry.clock, fact->entry.about, r.confirmed, {}};
}

}  // namespace

// At the start some ten thousand entries arrive one by one, so each refreshes only the thing it is about. A
// reading is added to its swap, or removed, without folding the swap's other readings again.

namespace {

template <class... T>
bool is_one_of(const Body& body) {
    return (std::holds_alternative<T>(body) || ...);
}
bool is_undoable(const Body& body) {
    return is_one_of<ReadingBody, BaselineBody, SwapEndBody, ChangeBody, EventBody, PartBody, PlanStepBody,
                     PlanEndBody, ShelfBody, JobBody>(body);
}
std::pair<Clock, Id> key_of(const Entry& e) {
    return {e.clock, e.id};
}

}  // namespace

void Ledger::apply(Fact fact) {
    const Id id = fact.entry.id;
    const auto [at, fresh] = facts_.try_emplace(id, std::move(fact));
    if (!fresh) return;
    // The step on the screen moves no number.
    const bool only_a_step =
        std::holds_alternative<StepBody>(at->second.body) && at->second.entry.supersedes.empty();
    if (!only_a_step) ++revision_;
    const Fact& kept = at->second;
    if (!kept.entry.bike.nil()) of_bike_[kept.entry.bike].push_back(&kept);
    if (const auto* device = std::get_if<DeviceBody>(&kept.body))
        names_[from_hex(device->incarnation)].push_back(&kept);
    else
        parts_[thing_of(kept)].push_back(&kept);
    if (is_undoable(kept.body) && !superseded(id))
        undoable_.emplace_hint(undoable_.end(), key_of(kept.entry), &kept);
    refresh(kept);
    supersede(kept.entry.supersedes);
}

void Ledger::apply_unknown(const Entry& entry) {
    const auto [at, fresh] = unread_.try_emplace(entry.id, Fact{entry, RetractionBody{}});
    if (!fresh) return;
    ++revision_;
    // setup_at() and similar functions read facts_of() and must also see what this entry supersedes.
    if (!entry.bike.nil()) of_bike_[entry.bike].push_back(&at->second);
    supersede(entry.supersedes);
}

void Ledger::supersede(const std::vector<Id>& ids) {
    for (const Id& id : ids) {
        if (!superseded_.insert(id).second) continue;
        // The superseded entry may arrive later; apply() then finds its id in superseded_.
        const Fact* old = fact(id);
        if (!old) continue;
        undoable_.erase(key_of(old->entry));
        refresh(*old);
    }
}

// Standing entries of one kind about one thing, oldest first.
template <class T>
std::vector<const Fact*> Ledger::heads(const Id& thing) const {
    std::vector<const Fact*> standing;
    const auto parts = parts_.find(thing);
    if (parts == parts_.end()) return standing;
    for (const Fact* f : parts->second)
        if (std::holds_alternative<T>(f->body) && !superseded(f->entry.id)) standing.push_back(f);
    std::sort(standing.begin(), standing.end(), older);
    return standing;
}

void Ledger::refresh(const Fact& fact) {
    const Body& b = fact.body;
    if (is_one_of<ReadingBody>(b)) return refresh_reading(fact);
    if (is_one_of<BaselineBody>(b)) return refresh_baseline(fact);
    if (const auto* device = std::get_if<DeviceBody>(&b))
        return refresh_device(from_hex(device->incarnation));
    const Id thing = thing_of(fact);
    if (is_one_of<SwapBody>(b)) refresh_swap(thing);
    if (is_one_of<StepBody, SwapEndBody>(b))
        if (const auto swap = swaps_.find(thing); swap != swaps_.end()) refresh_progress(swap->second);
    if (is_one_of<PickBody>(b))
        if (const auto swap = swaps_.find(thing); swap != swaps_.end()) refresh_picks(swap->second);
    if (is_one_of<ShelfBody>(b)) refresh_shelf(thing);
    if (is_one_of<JobBody>(b)) refresh_job(thing);
    if (is_one_of<PlanBody, PlanStepBody, PlanEndBody>(b)) refresh_plan(thing);
    if (is_one_of<BikeBody>(b)) refresh_bike(thing);
    if (is_one_of<PersonBody>(b)) refresh_person(thing);
    if (const auto* units = std::get_if<UnitsBody>(&b)) {
        if (superseded(fact.entry.id))
            units_.erase({fact.entry.clock, thing});
        else
            units_[{fact.entry.clock, thing}] = units->units;
    }
}

void Ledger::refresh_person(const Id& thing) {
    people_.erase(thing);
    if (const auto named = heads<PersonBody>(thing); !named.empty())
        people_[thing] = {thing, body<PersonBody>(named.back()).name};
}

void Ledger::refresh_baseline(const Fact& fact) {
    const Entry& e = fact.entry;
    if (superseded(e.id)) {
        baselines_.erase(e.id);
        baselines_of_[e.bike].erase(key_of(e));
        return;
    }
    baselines_[e.id] = {e.id, e.bike, e.about, body<BaselineBody>(&fact), e.clock, e.by};
    baselines_of_[e.bike][key_of(e)] = &fact;
}

void Ledger::refresh_bike(const Id& thing) {
    bikes_.erase(thing);
    const auto standing = heads<BikeBody>(thing);
    if (standing.empty()) return;
    const Fact* newest = standing.back();
    Bike bike{thing, body<BikeBody>(newest), newest->entry.id, newest->entry.clock, newest->entry.by, {}, {}};
    for (const Fact* f : standing) bike.heads.push_back(f->entry.id);
    // If two devices made the same edit, there is no conflict.
    for (const Fact* f : standing)
        if (body<BikeBody>(f) != bike.body) bike.rivals.push_back(body<BikeBody>(f));
    bikes_[thing] = std::move(bike);
}

void Ledger::refresh_swap(const Id& thing) {
    if (const auto old = swaps_.find(thing); old != swaps_.end()) {
        swaps_of_[old->second.bike].erase(thing);
        swaps_.erase(old);
    }
    const auto standing = heads<SwapBody>(thing);
    if (standing.empty()) return;
    const Entry& last = standing.back()->entry;

    Swap swap;
    swap.id = thing;
    swap.bike = last.bike;
    swap.parts = tidy(body<SwapBody>(standing.back()).parts);
    // A later entry may have changed the parts. The person and the start time come from the first entry.
    const Fact* first = fact(thing);
    const Entry& begun = first ? first->entry : last;
    swap.started = begun.clock;
    swap.by = begun.by;
    refresh_progress(swap);
    refresh_picks(swap);
    for (const Fact* f : heads<ReadingBody>(thing)) {
        const ReadAt at = read_at(body<ReadingBody>(f), swap.parts);
        StoredReading stored = stored_of(f);
        if (at.phase == Phase::set) stored.original = original_clock(*f);
        swap.stored_readings[at].push_back(std::move(stored));
    }
    swaps_of_[swap.bike].insert(thing);
    swaps_[thing] = std::move(swap);
}

void Ledger::refresh_progress(Swap& swap) {
    // A step is a position in the work, not a measurement: if two stand, the newest counts.
    const auto steps = heads<StepBody>(swap.id);
    swap.step = steps.empty() ? Step6::before : body<StepBody>(steps.back()).step;
    swap.kept = swap.abandoned = false;
    for (const Fact* f : heads<SwapEndBody>(swap.id))
        (body<SwapEndBody>(f).kept ? swap.kept : swap.abandoned) = true;
    // Kept on one device and abandoned on another: its baseline exists, so it counts as kept.
    if (swap.kept) swap.abandoned = false;
}

void Ledger::refresh_picks(Swap& swap) {
    swap.picks.clear();
    for (const Fact* f : heads<PickBody>(swap.id))
        swap.picks.push_back({f->entry.id, body<PickBody>(f).item});
}

namespace {
// The entries that stand for a thing whose newest body it has, and whether they say different things.
template <class Thing>
void note_heads(const std::vector<const Fact*>& standing, Thing& thing) {
    for (const Fact* f : standing) {
        thing.heads.push_back(f->entry.id);
        thing.disputed = thing.disputed || body<decltype(thing.body)>(f) != thing.body;
    }
}
}  // namespace

void Ledger::refresh_shelf(const Id& thing) {
    shelf_.erase(thing);
    const auto standing = heads<ShelfBody>(thing);
    if (standing.empty()) return;
    ShelfItem item{thing, body<ShelfBody>(standing.back()), {}, false};
    note_heads(standing, item);
    shelf_[thing] = std::move(item);
}

void Ledger::refresh_job(const Id& thing) {
    if (const auto old = jobs_.find(thing); old != jobs_.end()) {
        jobs_of_[old->second.bike].erase(thing);
        jobs_.erase(old);
    }
    const auto standing = heads<JobBody>(thing);
    if (standing.empty()) return;
    const Entry& last = standing.back()->entry;
    Job job{thing, last.bike, body<JobBody>(standing.back()), last.by, last.clock, {}, false};
    note_heads(standing, job);
    jobs_of_[job.bike].insert(thing);
    jobs_[thing] = std::move(job);
}

void Ledger::refresh_reading(const Fact& fact_) {
    const Entry& e = fact_.entry;
    const auto swap = swaps_.find(e.about);
    if (swap == swaps_.end()) return;
    const ReadAt at = read_at(body<ReadingBody>(&fact_), swap->second.parts);
    auto& stored_readings = swap->second.stored_readings;
    auto& list = stored_readings[at];
    if (!superseded(e.id)) {
        const auto behind = std::find_if(list.begin(), list.end(), [&](const StoredReading& t) {
            return clock_and_id(e) < clock_and_id(fact(t.entry)->entry);
        });
        list.insert(behind, stored_of(&fact_));
    } else {
        std::erase_if(list, [&](const StoredReading& t) { return t.entry == e.id; });
    }
    // An entry that arrives late may show that one of these is the copy of an older one.
    if (at.phase == Phase::set)
        for (StoredReading& t : list) t.original = original_clock(*fact(t.entry));
    if (list.empty()) stored_readings.erase(at);
}

void Ledger::refresh_plan(const Id& thing) {
    plans_.erase(thing);
    const auto standing = heads<PlanBody>(thing);
    if (standing.empty()) return;
    const Entry& begun = standing.front()->entry;
    RestorePlan plan{thing, begun.bike, body<PlanBody>(standing.front()).target, begun.clock, begun.by, {}};
    for (const Fact* f : heads<PlanStepBody>(thing)) {
        const auto& t = body<PlanStepBody>(f);
        plan.steps.push_back({f->entry.id, f->entry.by, f->entry.clock.ms, t.action, t.values});
    }
    for (const Fact* f : heads<PlanEndBody>(thing)) {
        plan.ended = true;
        plan.reached = plan.reached || body<PlanEndBody>(f).reached;
        plan.not_restored = plan.not_restored || body<PlanEndBody>(f).not_restored;
    }
    plans_[thing] = std::move(plan);
}

void Ledger::refresh_device(std::uint64_t incarnation) {
    auto& named = names_[incarnation];
    std::sort(named.begin(), named.end(), older);
    Device device{incarnation, {}, {}};
    for (const Fact* f : named) {
        if (superseded(f->entry.id)) continue;
        device.heads.push_back(f->entry.id);
        device.name = body<DeviceBody>(f).name;
    }
    devices_[incarnation] = std::move(device);
}

}  // namespace restand
