// Is the file whole? SQLite's own check sees a torn structure, the hashes see a changed byte, the chain a
// removed entry, the stored head a cut tail.

#include <bit>
#include <set>

#include "core/exchange/canonical.h"
#include "core/store/impl.h"

namespace restand {
namespace {

constexpr std::size_t most_found = 100;

class Examiner {
public:
    Examiner(const Database& db, const Head& head) : db_(db), head_(head) {}

    Result<Health> run() {
        structure();
        if (const auto walked = walk(); !walked) return walked.error();
        end_of_own();
        return health_;
    }

private:
    void report(ErrorCode code, std::string subject, std::string detail, bool harm) {
        if (harm) health_.whole = false;
        if (health_.found.size() < most_found)
            health_.found.push_back({code, std::move(subject), std::move(detail)});
    }

    void structure() {
        auto rows = db_.prepare("PRAGMA integrity_check(20)");
        if (!rows) return report(ErrorCode::damaged, db_.path(), rows.error().detail, true);
        int code = rows->step();
        for (; code == SQLITE_ROW; code = rows->step())
            if (rows->bytes(0) != "ok")
                report(ErrorCode::damaged, db_.path(), std::string(rows->bytes(0)), true);
        if (code != SQLITE_DONE) report(ErrorCode::damaged, db_.path(), db_.error().detail, true);
    }

    // The unary plus keeps the query off the indexes: a walk answered from an index misses damage in the
    // table.
    Outcome walk() {
        auto rows =
            db_.prepare("SELECT " + std::string(entry_columns) + " FROM entry ORDER BY +device,+number");
        if (!rows) return rows.error();
        int code = rows->step();
        for (; code == SQLITE_ROW; code = rows->step()) {
            ++health_.entries;
            const auto device = std::bit_cast<std::uint64_t>(rows->integer(1));
            const auto number = std::bit_cast<std::uint64_t>(rows->integer(2));
            auto entry = entry_of_row(*rows);
            if (!entry) report(entry.error().code, entry.error().subject, entry.error().detail, true);
            step_to(device, number, entry ? to_text(entry->id) : entry.error().subject);
            if (entry)
                link(*entry);
            else
                now_.any = true;
        }
        if (code != SQLITE_DONE) report(ErrorCode::damaged, db_.path(), db_.error().detail, true);
        return Done{};
    }

    void step_to(std::uint64_t device, std::uint64_t number, const std::string& id) {
        if (device != device_) {
            device_ = device;
            now_ = {0, false, {Hash{}}};
        }
        if (number == now_.number) {
            // A device restored from an old backup counted on from there; both entries are kept.
            report(ErrorCode::contradiction, id, "two entries bear number " + std::to_string(number), false);
            return;
        }
        const bool follows = number == now_.number + 1;
        before_ = follows ? now_ : Place{0, true, {}};
        // What another device wrote may still be on its way; our own cannot be.
        if (!follows)
            report(ErrorCode::missing, id,
                   "entries " + std::to_string(now_.number + 1) + " to " + std::to_string(number - 1) +
                       " of its device",
                   device == head_.device);
        now_ = {number, false, {}};
    }

    void link(const Entry& e) {
        if (!before_.any && !before_.hashes.contains(e.previous))
            report(ErrorCode::damaged, to_text(e.id), "its chain is broken", true);
        now_.hashes.insert(e.hash);
        if (e.device == head_.device && e.number == head_.number) own_ = own_ || e.hash == head_.hash;
        if (e.device == head_.device && e.number > head_.number) beyond_ = true;
    }

    void end_of_own() {
        if (!(own_ || head_.number == 0) || beyond_)
            report(ErrorCode::damaged, db_.path(), "the newest entry is not the one last written", true);
    }

    // The hashes at one running number: one, or more behind a fork; `any` when it cannot be told.
    struct Place {
        std::uint64_t number = 0;
        bool any = false;
        std::set<Hash> hashes;
    };

    const Database& db_;
    const Head& head_;
    Health health_;
    std::uint64_t device_ = 0;  // no device is 0
    Place before_, now_;
    bool own_ = false, beyond_ = false;
};

}  // namespace

Result<Health> Store::check() const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    return Examiner(impl_->db, impl_->head).run();
}

}  // namespace restand
