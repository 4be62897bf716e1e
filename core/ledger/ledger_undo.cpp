// Undo removes no entry. It adds one: a copy of the entry that stood before, or a retraction.
//
// Rules
//   1  An entry that superseded nothing is undone by a retraction.
//   2  An entry that superseded one of its kind is undone by a copy of that one, in the name of its author.
//      The copy supersedes both entries, which marks it as an undo. A further undo continues from the older
//      entry. Anything that counts from an entry's own time (a part's use) counts from the older entry's
//      time.
//   3  The copy of a reading supersedes only the undone one. It is recognised because its text equals that of
//      the entry two back. The first release wrote readings like this, and files contain such entries.
//   4  A check that superseded one made before a later setting is undone by a retraction: copied, the old
//      check would count as made after that setting.

#include "core/ledger/ledger.h"

#include <algorithm>
#include <map>

#include "core/ledger/moved_by.h"

namespace restand {

std::optional<Fact> Ledger::last_undoable(Clock since, std::optional<std::uint64_t> device) const {
    for (auto it = undoable_.rbegin(); it != undoable_.rend() && it->first.first > since; ++it)
        if ((!device || it->second->entry.device == *device) && undo_of(it->second->entry.id, {}))
            return *it->second;
    return std::nullopt;
}

// The one entry that it superseded.
const Fact* Ledger::replaced_by(const Fact* fact_) const {
    return fact_ && fact_->entry.supersedes.size() == 1 ? fact(fact_->entry.supersedes.front()) : nullptr;
}

// Finds the original of an entry: follows copies made by undo down to an entry that is no copy. An undo is
// recognised by what the entry it undid had replaced. That entry may be an undo itself, so the search is
// recursive.
class Ledger::Origins {
public:
    explicit Origins(const Ledger& ledger) : ledger_(ledger) {}

    const Fact* of(const Fact& fact) {
        // Each entry is visited once and meanwhile counts as its own original: a forged bundle may contain
        // cycles or a very long chain.
        const auto [at, fresh] = known_.try_emplace(&fact, &fact);
        if (!fresh || depth_ > deepest) return at->second;
        ++depth_;
        if (const Fact* older = said_again_by(fact)) at->second = of(*older);
        --depth_;
        return at->second;
    }

private:
    static constexpr int deepest = 2000;

    const Fact* said_again_by(const Fact& fact) {
        const auto& both = fact.entry.supersedes;
        if (std::holds_alternative<ReadingBody>(fact.body)) {
            const Fact* undone = ledger_.replaced_by(&fact);
            const Fact* again = undone ? ledger_.replaced_by(of(*undone)) : nullptr;
            return again && again->entry.body == fact.entry.body ? again : nullptr;
        }
        if (both.size() != 2) return nullptr;
        const Fact *undone = ledger_.fact(both[0]), *again = ledger_.fact(both[1]);
        if (!undone || !again || undone->entry.kind != again->entry.kind) return nullptr;
        // No undo: two entries stood side by side and a third superseded both. Neither superseded the other.
        const auto& before = undone->entry.supersedes;
        const bool chain = std::find(before.begin(), before.end(), both[1]) != before.end();
        return chain || ledger_.replaced_by(of(*undone)) == again ? again : nullptr;
    }

    const Ledger& ledger_;
    std::map<const Fact*, const Fact*> known_;
    int depth_ = 0;
};

Clock Ledger::original_clock(const Fact& fact) const {
    return Origins(*this).of(fact)->entry.clock;
}

// A check made before a later setting that moves what it read.
bool Ledger::is_outdated(const Fact& check) const {
    const auto* read = std::get_if<ReadingBody>(&check.body);
    const auto swap = swaps_.find(check.entry.about);
    if (!read || read->phase != Phase::check || swap == swaps_.end()) return false;
    const ReadAt at = read_at(*read, swap->second.parts);
    for (const auto& [other, those] : swap->second.stored_readings)
        if (other.phase == Phase::set && other.end == at.end && moves(other.point, at.point))
            for (const StoredReading& set : those)
                if (set.set_at() > check.entry.clock) return true;
    return false;
}

std::optional<NewEntry> Ledger::undo_of(const Id& entry, const Id& by) const {
    const Fact* undone = fact(entry);
    if (!undone || superseded(entry)) return std::nullopt;

    const Fact* origin = Origins(*this).of(*undone);

    // What was retracted stays superseded: a retraction is not undone by an entry.
    if (std::holds_alternative<RetractionBody>(undone->body)) return std::nullopt;
    // The replaced entry is not loaded, or there are several. A retraction would remove the thing: no undo.
    const bool thing =
        std::holds_alternative<ShelfBody>(undone->body) || std::holds_alternative<PartBody>(undone->body) ||
        std::holds_alternative<JobBody>(undone->body) || std::holds_alternative<BikeBody>(undone->body) ||
        std::holds_alternative<PersonBody>(undone->body);
    if (thing && !origin->entry.supersedes.empty() && !replaced_by(origin)) return std::nullopt;

    NewEntry back{"retraction", undone->entry.bike, undone->entry.about, by, {entry}, R"({"why":"undo"})"};
    const Fact* before = replaced_by(origin);
    if (before && before->entry.kind == undone->entry.kind && !is_outdated(*before)) {
        back.kind = before->entry.kind;
        back.body = before->entry.body;
        back.by = before->entry.by;  // who wrote it, not who undid the other one
        if (!std::holds_alternative<ReadingBody>(undone->body)) back.supersedes.push_back(before->entry.id);
        return back;
    }
    // The baseline and the end of a swap were written together and are undone together.
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
