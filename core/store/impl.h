#pragma once
// The members of a Store; shared by the .cpp files that implement it. Inside core/store only.

#include "core/store/derived.h"
#include "core/files/file.h"
#include "core/store/store.h"
#include "core/store/wall.h"

namespace restand {

std::uint64_t new_device();  // random, never 0
Id new_id(Clock clock);      // UUIDv7: the clock's ms, its counter in rand_a, 62 random bits
Id first_id(std::int64_t ms);  // the time's six bytes, then zeros

// The last entry of this device, as its row says.
struct Head {
    std::uint64_t device = 0, number = 0;
    Clock clock;
    Hash hash{};
};

struct Store::Impl {
    std::string path;
    Mode mode = Mode::read;
    int version = 0;  // of the file
    FileLock lock;
    Database db;
    Deriver derive{db, "main"};
    Head head;
    std::function<std::int64_t()> wall = wall_ms;
    std::optional<VersionRanges> held;  // counted once; no second count in a file that only we write to
    struct Counting {                   // a count of what is held, as far as it has come
        VersionRanges held;
        Id last;
    };
    std::optional<Counting> counting;

    // Deletes the journal kept between commits: a closed workshop is one file.
    ~Impl();
    // Opens `db`, checks that it is ours and takes the lock. `db` is empty after an error.
    Outcome connect();
    Outcome load_head();
    Outcome go_past_what_was_seen();
    Outcome trust_clock();
    Result<bool> is_borne(const Clock& clock) const;
    void disconnect();
    // Reopens after a failure; does nothing while the connection is good.
    Outcome ready();
    Outcome writable() const;
    // Call within a transaction that may write. Is it still the file that we wrote last, with no other
    // writer? Error io.
    Outcome still_ours() const;
    Outcome begin_writing();

    // Inserts and moves the head, in a transaction of its own. After an error the file is unchanged, or
    // `unknown` is set: the outcome is unknown until the file is reopened.
    using Entries = std::vector<const Entry*>;   // somebody else's; never null
    Outcome commit(const Entries& entries, const Head& moved, bool& unknown,
                   Progress* progress = nullptr);
    Result<std::int64_t> clock_apart(const Entry& foreign, std::int64_t now,
                                     std::uint64_t own_device) const;
    Result<std::vector<Entry>> select(const std::string& where,
                                      const std::vector<std::string>& bytes = {}) const;
    // The rows of a statement over `entry_columns`, each verified.
    Result<std::vector<Entry>> all_of(Statement& rows, Progress* progress) const;
    Result<std::optional<Entry>> find(const Id& id) const;
    Result<bool> count(Counting& so_far, std::size_t rows) const;   // true: to the end
    // All but the first of the bike that the first one is, if `of_first`.
    Result<std::vector<Entry>> append(const std::vector<NewEntry>& wanted, bool of_first);
    // The entries of a bike that stand: its newest baseline of a time, its first one of a time that describes
    // the bike, and entries of its time line of the given kinds (quoted, with commas) after a place and up to
    // a moment, oldest first.
    Result<std::optional<Entry>> newest_baseline(const Id& bike, Clock until) const;
    Result<std::optional<Entry>> first_describing(const Id& bike, Clock after, Clock until) const;
    Result<Clock> geometry_typed(const Id& bike) const;
    Result<std::vector<Entry>> folded(const Id& bike, Clock until) const;   // what setup_at() folds
    Result<std::vector<Entry>> timed_between(const Id& bike, std::string_view kinds,
                                             const std::optional<std::pair<Clock, Id>>& after,
                                             Clock until) const;
    Result<std::vector<Entry>> setup(const Id& bike, Clock until) const;
    Result<std::vector<Entry>> opening() const;
    Result<std::vector<Id>> verified_gone();

    Result<Health> check(Progress* progress, bool words = true) const;

    // Are the file's own derived tables present and trustworthy? If not, they are built in memory before any
    // transaction begins, and rebuilt when the file has changed.
    bool has_derived() const { return version == workshop_version; }
    Outcome derived_ready(bool with_words);
    Outcome distrust_words();
    Outcome distrust_gone();       // rebuilt in the file if it is writable, else in memory
    // "entry", with a hint to read the time line from its index; without the index, from the table.
    std::string timed() const { return has_derived() ? "entry INDEXED BY entry_time" : "entry"; }
    Result<std::vector<Id>> timed_bikes() const;   // all that have anything on their time line

    // A view of the file that does not change while it is read.
    template <class Ask>
    auto in_one_view(Ask ask) -> decltype(ask()) {
        if (const auto begun = db.run("BEGIN"); !begun) return begun.error();
        auto answer = ask();
        (void)db.run("COMMIT");
        return answer;
    }

private:
    Outcome insert(const Entries& entries, const Head& moved, Progress* progress);
    Outcome open_file();
    Outcome bring_up();
    Outcome derive_for_this_version();
    Outcome add_rivals(const Entry& newest, std::vector<Entry>& to) const;
    Outcome add_setups(std::vector<Entry>& to) const;
    Outcome add_ground(const Id& swap, std::vector<Entry>& to) const;
    Outcome add_plans(std::vector<Entry>& to) const;
    Outcome make_beside(bool gone, bool words);

    struct Beside {                // which derived tables are in memory, built from which state of the file
        bool gone = false, words = false;
        std::int64_t state = -1;
        std::uint64_t commits = 0;
    } beside_;
    Outcome remember_state();
    std::int64_t state_ = -1, device_page_ = 0, page_size_ = 0;   // when it was opened
    std::uint64_t commits_ = 0;
    bool gone_wrong_ = false;
};

std::string blob(const Id& id);

}  // namespace restand
