// Is the file whole? SQLite's own check finds a torn structure, the hashes find a changed byte, the chain
// finds a removed entry, the stored head finds a cut tail.

#include <algorithm>
#include <bit>
#include <map>
#include <optional>
#include <set>
#include <tuple>

#include "core/codec/body_json.h"
#include "core/codec/canonical.h"
#include "core/store/health.h"
#include "core/store/impl.h"

namespace restand {
namespace {

constexpr std::int64_t most_reserved = 10'000'000;

class Examiner {
public:
    // `derived`: the file has its own derived tables (version 2).
    Examiner(const Database& db, const Head& head, bool derived, bool words, Progress* progress)
        : db_(db), head_(head), derived_(derived), words_(words), progress_(progress) {}

    Result<Health> run() {
        const auto rows = db_.number("SELECT count(*) FROM entry");
        if (progress_) {
            progress_->done = 0;
            if (rows) progress_->total = static_cast<std::uint64_t>(*rows);
        }
        structure();
        if (const auto walked = walk(rows ? *rows : 0); !walked) return walked.error();
        end_of_own();
        if (derived_) {
            superseded();
            if (words_) worded();
        }
        return health_;
    }

private:
    static void add(std::vector<Error>& to, ErrorCode code, std::string subject, std::string detail) {
        if (to.size() < most_found) to.push_back({code, std::move(subject), std::move(detail)});
    }
    void damaged(std::string subject, std::string detail) {
        health_.whole = false;
        add(health_.found, ErrorCode::damaged, std::move(subject), std::move(detail));
    }

    void structure() {
        auto rows = db_.prepare("PRAGMA integrity_check(20)");
        if (!rows) return damaged(db_.path(), rows.error().detail);
        int code = rows->step();
        for (; code == SQLITE_ROW; code = rows->step())
            if (rows->bytes(0) != "ok") damaged(db_.path(), std::string(rows->bytes(0)));
        if (code != SQLITE_DONE) damaged(db_.path(), db_.error().detail);
    }

    // Reads every row once, from the table itself: an answer from an index misses damage in the table. The chain
    // of each device is then looked at in memory.
    Outcome walk(std::int64_t about) {
        auto rows = db_.prepare("SELECT " + std::string(entry_columns) + " FROM entry NOT INDEXED");
        if (!rows) return rows.error();
        if (about > 0 && about < most_reserved) links_.reserve(static_cast<std::size_t>(about));
        std::optional<Id> last;
        int code = rows->step();
        for (; code == SQLITE_ROW; code = rows->step()) {
            ++health_.entries;
            if (progress_ && ++progress_->done && progress_->cancelled)
                return Error{ErrorCode::cancelled, db_.path(), ""};
            look_at(*rows);
            if (last && links_.back().id <= *last) damaged(db_.path(), "an entry is not where its key says");
            last = links_.back().id;
        }
        if (code != SQLITE_DONE) damaged(db_.path(), db_.error().detail);
        std::sort(links_.begin(), links_.end(), [](const Link& a, const Link& b) {
            return std::tie(a.device, a.number, a.id) < std::tie(b.device, b.number, b.id);
        });
        for (const Link& one : links_) {
            step_to(one.device, one.number, one.id);
            now_.ids.push_back(one.id);
            now_.any = now_.any || !one.legible;
            if (one.legible && !one.follows && !follows_any(one.id))
                lacks(one.device, to_text(one.id), "the entry it follows");
        }
        return Done{};
    }

    // `follows`: its device's entry before it was read just before, and is the one that it names. Hashes are
    // not held: for an entry without that they are read again.
    struct Link {
        std::uint64_t device = 0, number = 0;
        Id id;
        bool legible = false, follows = false;
    };

    void look_at(Statement& row) {
        Link& one = links_.emplace_back();
        one.device = std::bit_cast<std::uint64_t>(row.integer(1));
        one.number = std::bit_cast<std::uint64_t>(row.integer(2));
        (void)copy_bytes(row.bytes(0), one.id.bytes);
        const auto entry = entry_of_row(row);
        if (!entry) {
            health_.whole = false;
            return add(health_.found, entry.error().code, entry.error().subject, entry.error().detail);
        }
        one.legible = true;
        auto& [number, hash] = last_of_[one.device];
        one.follows = number + 1 == one.number && hash == entry->previous;
        number = one.number, hash = entry->hash;
        own_ = own_ || (one.device == head_.device && one.number == head_.number && hash == head_.hash);
        beyond_ = beyond_ || (one.device == head_.device && one.number > head_.number);
        if (derived_) expect(*entry);
    }

    void step_to(std::uint64_t device, std::uint64_t number, const Id& id) {
        if (device != device_) {
            device_ = device;
            now_ = {};
        }
        if (number == now_.number) {
            // A device restored from an old backup continued counting from there; both entries are kept.
            add(health_.doubles, ErrorCode::contradiction, to_text(id),
                "two entries bear number " + std::to_string(number));
            return;
        }
        const bool follows = number == now_.number + 1;
        before_ = follows ? now_ : Place{0, true, {}};
        if (!follows)
            lacks(device, to_text(id),
                  "entries " + std::to_string(now_.number + 1) + " to " + std::to_string(number - 1) +
                      " of its device");
        now_ = {number, false, {}};
    }

    // Entries of another device may still arrive; our own cannot.
    void lacks(std::uint64_t device, const std::string& id, const std::string& what) {
        const bool own = device == head_.device;
        if (own) health_.whole = false;
        add(own ? health_.found : health_.gaps, ErrorCode::missing, id, what);
    }

    // A copied file continues under the same device: the entry before this one may be the copy's. Nothing is
    // before the first one.
    bool follows_any(const Id& id) const {
        if (before_.any) return true;
        const auto previous = hash_column("previous", id);
        if (before_.number == 0) return previous == std::string(sizeof(Hash), '\0');
        return std::any_of(before_.ids.begin(), before_.ids.end(),
                           [&](const Id& one) { return previous && hash_column("hash", one) == previous; });
    }
    std::optional<std::string> hash_column(const char* column, const Id& id) const {
        auto row = db_.prepare("SELECT " + std::string(column) + " FROM entry WHERE id=?");
        if (!row) return std::nullopt;
        row->bind_bytes(1, id.bytes);
        if (row->step() != SQLITE_ROW) return std::nullopt;
        return std::string(row->bytes(0));
    }

    void end_of_own() {
        if (!(own_ || head_.number == 0) || beyond_)
            damaged(db_.path(), "the newest entry is not the one last written");
    }

    // What the derived tables should hold for this entry.
    void expect(const Entry& e) {
        const std::set<Id> each(e.supersedes.begin(), e.supersedes.end());
        for (const Id& id : each) gone_.add(id, e.id);
        if (words_ && is_moment(e.kind)) moments_.emplace(e.id, said_by(e));
    }

    // A superseded entry lost from `gone` would stand again: this is harm, though `gone` can be rebuilt.
    void superseded() {
        GoneSum held;
        const auto ids = gone_ids(db_, held);
        const auto kept = sum_kept(db_);
        if (!ids || !kept || held != gone_ || *kept != gone_)
            damaged(db_.path(), "what is superseded is not kept rightly");
    }

    // The index of words: its rows against the entries, and the index against its rows. Damage harms no
    // entry: words are then found by reading entries.
    void worded() {
        const auto wrong = [this](const std::string& why) {
            add(health_.found, ErrorCode::damaged, db_.path(), "the index of words: " + why);
        };
        const auto whole = db_.number("SELECT words FROM main.derived");
        if (whole && *whole == 0) return wrong("it is to be made anew");
        auto rows = db_.prepare("SELECT id,c0,c1,c2,c3 FROM main.words_content");
        if (!rows) return wrong(rows.error().detail);
        int code = rows->step();
        for (; code == SQLITE_ROW; code = rows->step()) {
            Id id;
            const auto bytes = rows->bytes(4);
            (void)copy_bytes(bytes, id.bytes);  // no moment has the nil id
            const auto it = moments_.find(id);
            const std::string said = said_in(rows->bytes(1), rows->bytes(2), rows->bytes(3));
            if (it == moments_.end() || it->second != sha256(said))
                return wrong("a row differs from its entry");
            moments_.erase(it);
        }
        if (code != SQLITE_DONE) return wrong(db_.error().detail);
        if (!moments_.empty()) return wrong("an entry is missing");
        index_of_words(wrong);
    }

    // FTS5 checks itself with a statement that could write; where writing is refused the check cannot run.
    template <class Wrong>
    void index_of_words(Wrong wrong) {
        const auto only = db_.number("PRAGMA query_only");
        const bool reading = only && *only != 0;
        if (reading && !db_.run("PRAGMA query_only=OFF")) return;
        const auto good = [&] {
            const HeapBound bound(db_);
            return db_.run("INSERT INTO main.words(words) VALUES('integrity-check')");
        }();
        if (reading) (void)db_.run("PRAGMA query_only=ON");
        if (!good && good.error().code == ErrorCode::damaged) wrong("it differs from its rows");
    }

    static std::string said_in(std::string_view said, std::string_view parts, std::string_view marks) {
        std::string text(said);
        return text.append(1, '\0').append(parts).append(1, '\0').append(marks);
    }
    static Hash said_by(const Entry& e) {
        const WordsRow row = words_row(e);
        return sha256(said_in(row.said, row.parts, row.marks));
    }

    // The entries at one running number: one, or several after a fork. `any`: one of them is unknown.
    struct Place {
        std::uint64_t number = 0;
        bool any = false;
        std::vector<Id> ids{};
    };

    const Database& db_;
    const Head& head_;
    bool derived_, words_;
    Progress* progress_;
    Health health_;
    std::vector<Link> links_;
    // By device: number and hash of its last entry that was read.
    std::map<std::uint64_t, std::pair<std::uint64_t, Hash>> last_of_;
    GoneSum gone_;                // as the entries say
    std::map<Id, Hash> moments_;  // the row of `words` that each should have
    std::uint64_t device_ = 0;    // no device is 0
    Place before_, now_;
    bool own_ = false, beyond_ = false;
};

}  // namespace

Result<Health> Store::check(Progress* progress, bool words) const {
    if (const auto ready = impl_->ready(); !ready) return ready.error();
    return impl_->check(progress, words);
}

Result<Health> Store::Impl::check(Progress* progress, bool words) const {
    // SQLite's own check of a large file takes seconds; it can be cancelled too.
    constexpr int look_every = 10'000;
    const auto stop = [](void* p) { return static_cast<const Progress*>(p)->cancelled.load() ? 1 : 0; };
    if (progress) sqlite3_progress_handler(db.get(), look_every, stop, progress);
    auto health = Examiner(db, head, has_derived(), words, progress).run();
    if (progress) sqlite3_progress_handler(db.get(), 0, nullptr, nullptr);
    if (progress && progress->cancelled) return Error{ErrorCode::cancelled, path, ""};
    return health;
}

Result<Health> check_file(const std::string& path, Progress* progress, bool words) {
    const auto store = Store::open(path, Store::Mode::read);
    if (!store) return store.error();
    return store->check(progress, words);
}

}  // namespace restand
