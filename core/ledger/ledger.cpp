#include "core/ledger/ledger.h"

#include <algorithm>
#include <tuple>

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
        std::holds_alternative<ReadingBody>(fact.body))
        return e.about;
    return e.id;
}

// One order everywhere: by clock, and by id where two devices' clocks agree.
auto order(const Entry& e) {
    return std::tie(e.clock, e.id);
}
bool older(const Fact* a, const Fact* b) {
    return order(a->entry) < order(b->entry);
}

template <class T>
const T& body(const Fact* fact) {
    return std::get<T>(fact->body);
}

template <class T>
const T* found(const std::map<Id, T>& map, const Id& id) {
    const auto it = map.find(id);
    return it == map.end() ? nullptr : &it->second;
}

Take take_of(const Fact* fact) {
    const auto& r = body<ReadingBody>(fact);
    return {r.reading, fact->entry.id, fact->entry.by, fact->entry.clock.ms, fact->entry.about, r.confirmed};
}

}  // namespace

const BaselineValue* Baseline::value(End end, Point point) const {
    for (const auto& v : body.values)
        if (v.end == end && v.take.reading.point == point) return &v;
    return nullptr;
}

// Folding
// ------------------------------------------------------------------------------------------------------

void Ledger::apply(const Fact& fact) {
    if (!facts_.emplace(fact.entry.id, fact).second) return;
    const Id thing = thing_of(fact);
    parts_[thing].push_back(fact.entry.id);
    refresh(thing);
    supersede(fact.entry.supersedes);
}

void Ledger::apply_unknown(const Entry& entry) {
    supersede(entry.supersedes);
}

void Ledger::supersede(const std::vector<Id>& ids) {
    for (const Id& id : ids) {
        if (!superseded_.insert(id).second) continue;
        // What is superseded may arrive later; then apply() finds it here.
        if (const Fact* old = fact(id)) refresh(thing_of(*old));
    }
}

// Standing entries of one kind about one thing, oldest first.
template <class T>
std::vector<const Fact*> Ledger::heads(const Id& thing) const {
    std::vector<const Fact*> standing;
    const auto parts = parts_.find(thing);
    if (parts == parts_.end()) return standing;
    for (const Id& id : parts->second) {
        const Fact& f = facts_.at(id);
        if (std::holds_alternative<T>(f.body) && !superseded(id)) standing.push_back(&f);
    }
    std::sort(standing.begin(), standing.end(), older);
    return standing;
}

void Ledger::refresh(const Id& thing) {
    refresh_bike(thing);
    refresh_swap(thing);

    people_.erase(thing);
    if (const auto named = heads<PersonBody>(thing); !named.empty())
        people_[thing] = {thing, body<PersonBody>(named.back()).name};

    baselines_.erase(thing);
    for (const Fact* f : heads<BaselineBody>(thing))
        baselines_[thing] = {thing,          f->entry.bike, f->entry.about, body<BaselineBody>(f),
                             f->entry.clock, f->entry.by};

    units_.erase(thing);
    for (const Fact* f : heads<UnitsBody>(thing)) units_[thing] = {f->entry.clock, body<UnitsBody>(f).units};
}

void Ledger::refresh_bike(const Id& thing) {
    bikes_.erase(thing);
    const auto standing = heads<BikeBody>(thing);
    if (standing.empty()) return;
    const Fact* newest = standing.back();
    Bike bike{thing, body<BikeBody>(newest), newest->entry.id, newest->entry.clock.ms, newest->entry.by, {}, {}};
    for (const Fact* f : standing) bike.heads.push_back(f->entry.id);
    // Two devices that made the same edit do not disagree.
    for (const Fact* f : standing)
        if (body<BikeBody>(f) != bike.body) bike.rivals.push_back(body<BikeBody>(f));
    bikes_[thing] = std::move(bike);
}

void Ledger::refresh_swap(const Id& thing) {
    swaps_.erase(thing);
    const auto standing = heads<SwapBody>(thing);
    if (standing.empty()) return;
    const Entry& last = standing.back()->entry;

    Swap swap;
    swap.id = thing;
    swap.bike = last.bike;
    swap.kind = body<SwapBody>(standing.back()).kind;
    // A later entry may have changed what is swapped; who began it, and when, is the first one's.
    const Fact* first = fact(thing);
    const Entry& begun = first ? first->entry : last;
    swap.started_ms = begun.clock.ms;
    swap.by = begun.by;
    // Steps are places, not measurements: the newest wins, also when two stand.
    if (const auto steps = heads<StepBody>(thing); !steps.empty())
        swap.step = body<StepBody>(steps.back()).step;
    for (const Fact* f : heads<ReadingBody>(thing)) {
        const auto& r = body<ReadingBody>(f);
        swap.takes[{r.phase, r.reading.point}].push_back(take_of(f));
    }
    for (const Fact* f : heads<SwapEndBody>(thing))
        (body<SwapEndBody>(f).kept ? swap.kept : swap.abandoned) = true;
    // Kept on one device, abandoned on the other: the baseline exists, so it was kept.
    if (swap.kept) swap.abandoned = false;
    swaps_[thing] = std::move(swap);
}

// Asking
// -------------------------------------------------------------------------------------------------------

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
    // Ids break a tie of clocks, so that two devices with the same entries show the same units.
    const std::pair<const Id, std::pair<Clock, UnitChoice>>* newest = nullptr;
    for (const auto& one : units_)
        if (!newest || std::tie(newest->second.first, newest->first) < std::tie(one.second.first, one.first))
            newest = &one;
    return newest ? newest->second.second : UnitChoice{};
}

std::vector<const Baseline*> Ledger::baselines(const Id& bike) const {
    std::vector<const Baseline*> list;
    for (const auto& [id, baseline] : baselines_)
        if (baseline.bike == bike) list.push_back(&baseline);
    std::sort(list.begin(), list.end(), [](const Baseline* a, const Baseline* b) {
        return std::tie(b->clock, b->id) < std::tie(a->clock, a->id);
    });
    return list;
}

const Baseline* Ledger::baseline(const Id& id) const {
    return found(baselines_, id);
}

const Baseline* Ledger::newest_baseline(const Id& bike) const {
    const auto list = baselines(bike);
    return list.empty() ? nullptr : list.front();
}

std::vector<const Swap*> Ledger::swaps(const Id& bike) const {
    std::vector<const Swap*> list;
    for (const auto& [id, swap] : swaps_)
        if (swap.bike == bike) list.push_back(&swap);
    std::sort(list.begin(), list.end(), [](const Swap* a, const Swap* b) {
        return std::tie(b->started_ms, b->id) < std::tie(a->started_ms, a->id);
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

const Fact* Ledger::fact(const Id& entry) const {
    return found(facts_, entry);
}

// Undoing
// ------------------------------------------------------------------------------------------------------

std::optional<Fact> Ledger::last_undoable(Clock since) const {
    const Fact* newest = nullptr;
    for (const auto& [id, f] : facts_) {
        const bool undoable = std::holds_alternative<ReadingBody>(f.body) ||
                              std::holds_alternative<BaselineBody>(f.body) ||
                              std::holds_alternative<SwapEndBody>(f.body);
        if (!undoable || superseded(id) || f.entry.clock < since) continue;
        if (!newest || older(newest, &f)) newest = &f;
    }
    if (!newest) return std::nullopt;
    return *newest;
}

std::optional<NewEntry> Ledger::undo_of(const Id& entry, const Id& by) const {
    const Fact* undone = fact(entry);
    if (!undone || superseded(entry)) return std::nullopt;

    // An entry that puts back an older one's body is that older one: undoing goes on from there.
    const auto replaced = [this](const Fact* f) {
        return f && f->entry.supersedes.size() == 1 ? fact(f->entry.supersedes.front()) : nullptr;
    };
    const Fact* origin = undone;
    // A bundle made by hand may go round in circles; there are no more steps than entries.
    std::size_t steps = facts_.size();
    for (const Fact* older = replaced(replaced(origin));
         steps-- > 0 && older && older->entry.body == origin->entry.body; older = replaced(replaced(origin)))
        origin = older;

    NewEntry back{"retraction", undone->entry.bike, undone->entry.about, by, {entry}, R"({"why":"undo"})"};
    if (const Fact* before = replaced(origin); before && before->entry.kind == undone->entry.kind) {
        back.kind = before->entry.kind;
        back.body = before->entry.body;
        back.by = before->entry.by;  // who read it, not who undid the other one
        return back;
    }
    // Baseline and end of a swap were written together and are taken back together.
    const bool ends = std::holds_alternative<BaselineBody>(undone->body) ||
                      std::holds_alternative<SwapEndBody>(undone->body);
    if (!ends || undone->entry.about.nil()) return back;
    for (const auto& [id, f] : facts_) {
        const bool partner =
            f.body.index() != undone->body.index() && f.entry.about == undone->entry.about &&
            (std::holds_alternative<BaselineBody>(f.body) || std::holds_alternative<SwapEndBody>(f.body));
        if (partner && !superseded(id)) back.supersedes.push_back(id);
    }
    return back;
}

}  // namespace restand
