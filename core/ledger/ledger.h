#pragma once
// What stands, folded from entries. A pure function of the set of entries: any order gives the same state.
// Everything a screen shows of the workshop comes from here.
//
// Which thing an entry speaks of: the first entry of a bike, person or swap gives the thing its id. Later
// ones name it (a bike's in `bike`, a person's and a swap's in `about`) and supersede the entry that stood.
// Steps, readings and ends name their swap in `about`. A baseline is its own thing. Takes: oldest first.

#include <map>
#include <set>
#include <vector>

#include "core/ledger/body.h"

namespace restand {

struct Fact { Entry entry; Body body; };      // an entry and its decoded body

struct Bike {
    Id id;                                    // of its first entry
    BikeBody body;
    Id entry;                                 // that now stands for it
    std::int64_t at_ms = 0;
    Id by;
    std::vector<BikeBody> rivals;             // other entries that stand for the same bike
    std::vector<Id> heads;                    // all entries that stand for it; the next edit supersedes them
};
struct Person { Id id; std::string name; };
struct Baseline {
    Id id, bike, swap;
    BaselineBody body;
    Clock clock;
    Id by;
    const BaselineValue* value(End end, Point point) const;
};

class Ledger {
public:
    void apply(const Fact& fact);             // idempotent; order does not matter
    // An entry of a kind this version cannot read: what it supersedes no longer stands.
    void apply_unknown(const Entry& entry);

    // Newest first where there is an order in time.
    std::vector<const Bike*> bikes(bool archived = false) const;
    const Bike* bike(const Id& id) const;
    std::vector<const Person*> people() const;
    const Person* person(const Id& id) const;
    UnitChoice units() const;
    std::vector<const Baseline*> baselines(const Id& bike) const;
    const Baseline* baseline(const Id& id) const;
    const Baseline* newest_baseline(const Id& bike) const;
    std::vector<const Swap*> swaps(const Id& bike) const;
    const Swap* swap(const Id& id) const;
    const Swap* open_swap(const Id& bike) const;
    // Newest standing reading, baseline or swap end, not older than `since` (the start of the session).
    std::optional<Fact> last_undoable(Clock since = {}) const;
    // What to append to take it back: the value it superseded again, or a retraction. Keeping a swap is
    // undone whole, baseline and end together. Undone twice goes two back. nullopt: it does not stand.
    std::optional<NewEntry> undo_of(const Id& entry, const Id& by) const;
    const Fact* fact(const Id& entry) const;
    bool superseded(const Id& entry) const { return superseded_.contains(entry); }

private:
    void supersede(const std::vector<Id>& ids);
    void refresh(const Id& thing);            // folds one bike, person, swap, … anew from its entries
    void refresh_bike(const Id& thing);
    void refresh_swap(const Id& thing);
    template <class T>
    std::vector<const Fact*> heads(const Id& thing) const;

    std::map<Id, Fact> facts_;
    std::set<Id> superseded_;
    std::map<Id, std::vector<Id>> parts_;     // thing -> entries that speak of it
    std::map<Id, Bike> bikes_;
    std::map<Id, Person> people_;
    std::map<Id, Swap> swaps_;
    std::map<Id, Baseline> baselines_;
    std::map<Id, std::pair<Clock, UnitChoice>> units_;
};

// The baseline a finished swap makes: its readings (what was set, what was checked), the rest carried over
// from `last`. Values keep their provenance.
BaselineBody baseline_of(const Swap& swap, const Baseline* last, std::string reason);

}  // namespace restand
