#pragma once
// The current state of the workshop, folded from its entries. It is a pure function of the set of entries:
// any order gives the same state. Every screen reads its data here.
//
// The thing an entry is about: the first entry of a bike, person or swap gives the thing its id. Later
// entries name the id (a bike's in `bike`, a person's and a swap's in `about`) and supersede the entry that
// stood before. Steps, readings and ends name their swap in `about`. A baseline is its own thing. Stored
// readings: oldest first.

#include <map>
#include <set>
#include <span>
#include <vector>

#include "core/ledger/body.h"

namespace restand {

struct Fact { Entry entry; Body body; };      // an entry and its decoded body

struct Bike {
    Id id;                                    // of its first entry
    BikeBody body;
    Id entry;                                 // the newest that stands for it
    Clock at;                                 // of that entry
    Id by;
    std::vector<BikeBody> rivals;             // of other standing entries, where they differ from `body`
    std::vector<Id> heads;                    // all entries that stand for it; the next edit supersedes them
};
struct ShelfItem {
    Id id;
    ShelfBody body;
    std::vector<Id> heads;                    // all entries that stand for it; the next edit supersedes them
    bool disputed = false;                    // two devices measured it differently; the newest is shown
};
struct Job {
    Id id, bike;
    JobBody body;
    Id by;                                    // who wrote what stands
    Clock at;                                 // when
    std::vector<Id> heads;                    // all entries that stand for it; the next edit supersedes them
    bool disputed = false;                    // two devices said different things; the newest is shown
};
struct Person { Id id; std::string name; };
struct Baseline {
    Id id, bike, swap;
    BaselineBody body;
    Clock clock;
    Id by;
    const BaselineValue* value(End end, Point point) const;
};

// A restore plan to an earlier entry, with the steps done so far.
struct PlanStep { Id entry, by; std::int64_t at_ms = 0; std::string action; std::vector<SetValue> values; };
struct RestorePlan {
    Id id, bike, target;
    Clock started;
    Id by;
    std::vector<PlanStep> steps;                  // oldest first
    bool ended = false, reached = false;
    bool not_restored = false;                    // ended with heights that are not those of the target
};
struct Device { std::uint64_t incarnation = 0; std::string name; std::vector<Id> heads; };

class Ledger {
public:
    Ledger() = default;
    Ledger(Ledger&&) = default;               // members point to facts: it can be moved, not copied
    Ledger& operator=(Ledger&&) = default;
    void apply(Fact fact);                    // idempotent; order does not matter
    // An entry of a kind this version cannot read: only its `supersedes` takes effect.
    void apply_unknown(const Entry& entry);

    // Lists that have an order in time are newest first.
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
    std::vector<const ShelfItem*> shelf(bool gone = false) const;   // by name; `gone`: with the gone ones
    const ShelfItem* shelf_item(const Id& id) const;
    std::vector<const Job*> jobs(const Id& bike) const;   // as they were begun; done and dropped ones too
    const Job* job(const Id& id) const;
    const RestorePlan* open_plan(const Id& bike) const;           // the newest one not ended
    const RestorePlan* plan(const Id& id) const;                  // ended ones too, as far as they are loaded
    const Device* device(std::uint64_t incarnation) const;
    std::string device_name(std::uint64_t incarnation) const;   // "" when nobody named it
    // All loaded facts of a bike, superseded or not, in no order. Input for setup_at(), samples() …
    std::span<const Fact* const> facts_of(const Id& bike) const;
    // The newest standing entry that can be undone (a reading, a change, a plan step, an end …), later than
    // `since` (the last clock before the session). With `device`: only entries written on that device, none
    // that arrived by sync.
    std::optional<Fact> last_undoable(Clock since = {}, std::optional<std::uint64_t> device = {}) const;
    // The entry to append in order to undo `entry`: a copy of the entry it superseded, or a retraction.
    // Undoing a kept swap takes back its baseline and its end together. Undoing twice goes two entries back.
    // A copy supersedes two entries: first the undone one, then the one it copies (of readings only the
    // first). An old check is not copied: a later setting has moved what it read. nullopt: `entry` does not
    // stand, or it is a part that superseded several entries, or one that is not loaded.
    std::optional<NewEntry> undo_of(const Id& entry, const Id& by) const;
    const Fact* fact(const Id& entry) const;
    bool superseded(const Id& entry) const { return superseded_.contains(entry); }
    // Grows with every new entry that can move a number (a step of a swap cannot): what was computed at one
    // revision holds as long as it stays.
    std::uint64_t revision() const { return revision_; }

private:
    using Ordered = std::map<std::pair<Clock, Id>, const Fact*>;   // oldest first
    void supersede(const std::vector<Id>& ids);
    // Folds again the thing one entry is about: bike, person, swap … Called when the entry arrives and when
    // it is superseded.
    void refresh(const Fact& fact);
    void refresh_bike(const Id& thing);
    void refresh_person(const Id& thing);
    void refresh_baseline(const Fact& fact);
    void refresh_swap(const Id& thing);
    void refresh_progress(Swap& swap);
    void refresh_reading(const Fact& fact);
    void refresh_shelf(const Id& thing);
    void refresh_job(const Id& thing);
    void refresh_picks(Swap& swap);
    void refresh_plan(const Id& thing);
    void refresh_device(std::uint64_t incarnation);
    template <class T>
    std::vector<const Fact*> heads(const Id& thing) const;
    const Fact* replaced_by(const Fact* fact) const;
    bool is_outdated(const Fact& check) const;
    Clock original_clock(const Fact& fact) const;   // of the entry that undos made it a copy of
    class Origins;

    std::uint64_t revision_ = 0;
    std::map<Id, Fact> facts_;
    std::map<Id, Fact> unread_;               // of kinds this version cannot read; only `supersedes` counts
    std::set<Id> superseded_;
    std::map<Id, std::vector<const Fact*>> parts_;   // thing -> entries about it
    std::map<Id, Bike> bikes_;
    std::map<Id, Person> people_;
    std::map<Id, Swap> swaps_;
    std::map<Id, std::set<Id>> swaps_of_;     // by bike
    std::map<Id, Baseline> baselines_;
    std::map<Id, Ordered> baselines_of_;      // by bike; standing ones
    std::map<Id, ShelfItem> shelf_;
    std::map<Id, Job> jobs_;
    std::map<Id, std::set<Id>> jobs_of_;      // by bike
    std::map<Id, RestorePlan> plans_;
    std::map<std::uint64_t, Device> devices_;
    std::map<std::uint64_t, std::vector<const Fact*>> names_;   // entries that name a device
    std::map<Id, std::vector<const Fact*>> of_bike_;
    std::map<std::pair<Clock, Id>, UnitChoice> units_;   // standing ones, oldest first
    Ordered undoable_;                        // standing entries that can be undone
};

}  // namespace restand
