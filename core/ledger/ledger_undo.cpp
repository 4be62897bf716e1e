// Undo: nothing is taken out, an entry is put on top that says again what stood before, or takes back.
//
// Rules
//   1  What superseded nothing is taken back by a retraction.
//   2  What superseded an entry of its kind is undone by saying that one again, in the name of who wrote
//      it. The new entry supersedes both, and so is known for what it is: undoing goes on from the older
//      one, and what counts from an entry's own time (a part's use) goes on counting from the older one's.
//   3  Of readings it supersedes only the one taken back; the same text two back tells. So it was from the
//      first release on, and files hold such entries.

#include "core/ledger/ledger.h"

#include <algorithm>

namespace restand {

std::optional<Fact> Ledger::last_undoable(Clock since, std::optional<std::uint64_t> device) const {
    for (auto it = undoable_.rbegin(); it != undoable_.rend() && it->first.first >= since; ++it)
        if (!device || it->second->entry.device == *device) return *it->second;
    return std::nullopt;
}

// The one entry that it superseded.
const Fact* Ledger::replaced_by(const Fact* fact_) const {
    return fact_ && fact_->entry.supersedes.size() == 1 ? fact(fact_->entry.supersedes.front()) : nullptr;
}

// The older entry that it says again; nullptr when it speaks for itself.
const Fact* Ledger::said_again_by(const Fact& fact_) const {
    if (std::holds_alternative<ReadingBody>(fact_.body)) {
        const Fact* older = replaced_by(replaced_by(&fact_));
        return older && older->entry.body == fact_.entry.body ? older : nullptr;
    }
    const auto& both = fact_.entry.supersedes;
    if (both.size() != 2) return nullptr;
    const Fact *undone = fact(both[0]), *again = fact(both[1]);
    // Two that stood side by side and were settled by a third are another matter: neither superseded the
    // other.
    const bool chain = undone && again && undone->entry.kind == again->entry.kind &&
                       std::find(undone->entry.supersedes.begin(), undone->entry.supersedes.end(), both[1]) !=
                           undone->entry.supersedes.end();
    return chain ? again : nullptr;
}

std::optional<NewEntry> Ledger::undo_of(const Id& entry, const Id& by) const {
    const Fact* undone = fact(entry);
    if (!undone || superseded(entry)) return std::nullopt;

    const Fact* origin = undone;
    // A bundle made by hand may go round in circles; there are no more steps than entries.
    std::size_t steps = facts_.size();
    for (const Fact* older = said_again_by(*origin); steps-- > 0 && older; older = said_again_by(*origin))
        origin = older;

    // What it took the place of is not at hand, or was more than one: a part is not taken off for that.
    const bool part = std::holds_alternative<ShelfBody>(undone->body) || std::holds_alternative<PartBody>(undone->body);
    if (part && !origin->entry.supersedes.empty() && !replaced_by(origin)) return std::nullopt;

    NewEntry back{"retraction", undone->entry.bike, undone->entry.about, by, {entry}, R"({"why":"undo"})"};
    if (const Fact* before = replaced_by(origin); before && before->entry.kind == undone->entry.kind) {
        back.kind = before->entry.kind;
        back.body = before->entry.body;
        back.by = before->entry.by;  // who wrote it, not who undid the other one
        if (!std::holds_alternative<ReadingBody>(undone->body)) back.supersedes.push_back(before->entry.id);
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
