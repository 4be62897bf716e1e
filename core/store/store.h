#pragma once
// The workshop file: one SQLite database with one append-only table of entries.
//
// Invariants
//   1  append() returns a value only after COMMIT with synchronous=EXTRA has returned: on disk, or an error.
//   2  An entry is never updated or deleted; triggers refuse.
//   3  application_id and user_version are checked before any other statement; a newer file opens read-only.
//   4  One writing connection per process; a second process opens read-only (lock held for the store's life).
//   5  A failed COMMIT means 'unknown': the store looks the entry up by id before it reports that.
//   6  Derived tables and the draft may be deleted at any time.
//
// Blocks while it writes: the app calls it through Writer (writer.h), off the frame's thread.

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "core/ledger/history.h"
#include "core/ledger/version_ranges.h"
#include "core/quantity/progress.h"

namespace restand {

inline constexpr std::uint32_t workshop_application_id = 0x52535444;  // "RSTD"
inline constexpr int workshop_version = 3;                            // user_version
// 2 (the season ledger) adds derived tables: what is superseded, and the words of the time line. A file of
// version 1 is upgraded in one transaction when it is opened for writing. Opened for reading it is not
// changed, and its time line has no index. 3 orders the time line's index by the clock's epoch first
// (ledger/entry.h); a file of version 2 is upgraded in the same way.

struct Health {
    bool whole = true;             // false: an entry or a `gone` row (what is superseded) is damaged or lost
    std::uint64_t entries = 0;
    // Each names an entry; each list has 100 at most. Gaps and doubles do no harm.
    std::vector<Error> found;      // damage; if only in the index of words, harmless
    std::vector<Error> gaps;       // missing: another device's entries before this one are not here
    // Contradiction: another entry of its device has the same number (a copied file)
    std::vector<Error> doubles;
};

class Store {
public:
    enum class Mode { write, read, create };  // create: also makes the file when it is not there
    // Errors: not_found, not_ours, newer_version (open with Mode::read), read_only, in_use, damaged, io.
    // `wall`: Unix time in ms behind the entries' clock; empty = the system's.
    static Result<Store> open(const std::string& path, Mode mode, std::function<std::int64_t()> wall = {});
    Store(Store&&) noexcept;
    Store& operator=(Store&&) noexcept;
    ~Store();

    bool writable() const;
    // After an exception in the middle of a call: the open transaction is rolled back; the next call reopens
    // the file.
    void close_after_exception();
    std::string path() const;
    std::uint64_t device() const;
    Clock clock() const;                                      // the greatest one seen
    Result<Entry> append(const NewEntry& entry);
    Result<std::vector<Entry>> append_all(const std::vector<NewEntry>& entries);  // one transaction
    // The same; all entries but the first are of the bike that the first one is.
    Result<std::vector<Entry>> append_new_bike(const std::vector<NewEntry>& entries);
    // Union with entries from another device: known ids are skipped, bad hashes refused and reported. One
    // transaction.
    struct Merged {
        std::uint64_t added = 0, known = 0;
        std::vector<Error> refused;
        // Set when clocks are more than 24 h apart. Above 0: an added entry is dated this far after this
        // device's wall clock. Below 0: an added entry that refers to an entry of this device is dated this
        // far before it, and this device's wall clock has not been set back since. 0: neither was seen.
        std::int64_t clock_apart_ms = 0;
    };
    // Error cancelled: nothing was changed. In several transactions: merging.h.
    Result<Merged> merge(const std::vector<Entry>& entries, Progress* progress = nullptr);

    // Reading: every entry's hash is verified; Error damaged names the first that differs. Ordered by clock.
    // What the app needs at start: people, units, bikes, retractions, swaps and their ends, steps and
    // readings of open swaps, each bike's newest standing baseline and what it was described with, parts, the
    // shelf and jobs. The rest
    // comes from of_bike() and about().
    Result<std::vector<Entry>> opening() const;
    Result<std::vector<Entry>> of_bike(const Id& bike, const std::string& kind) const;
    Result<std::vector<Entry>> about(const Id& what) const;   // e.g. all readings of a swap
    Result<std::vector<Entry>> all() const;
    // For setup_at() and setup_described(): the newest standing baseline of the bike up to `until`, the
    // changes and ticks after it up to `until`, and the same of when its geometry was typed; with the first
    // baseline after that which describes() the bike.
    Result<std::vector<Entry>> setup(const Id& bike, Clock until) const;
    // A page of the time line, newest first; words are found through the index.
    Result<HistoryPage> history(const HistoryQuery& query) const;
    Result<std::vector<std::string>> part_names(const Id& bike) const;   // ever fitted, by name

    // For the exchange: which version ranges are held, and the entries another device lacks.
    Result<VersionRanges> ranges() const;
    Result<std::vector<Entry>> those(const std::vector<Lack>& wanted) const;

    // The same in slices of `rows` rows, for a caller that lets readings be stored in between. What is stored
    // meanwhile may be among them. next() goes by id; next_of_season() by kind, then by id.
    struct Walk { Id after; std::size_t kind = 0; bool ended = false; };
    Result<bool> count(std::size_t rows);    // true: counted, ranges() answers at once
    // `wanted`: those of them, or all.
    Result<std::vector<Entry>> next(Walk& walk, std::size_t rows,
                                    const std::vector<Lack>* wanted = nullptr) const;
    // What samples() and part_use() read of a bike, without what is superseded.
    Result<std::vector<Entry>> next_of_season(const Id& bike, Walk& walk, std::size_t rows) const;
    Result<std::optional<Entry>> find(const Id& id) const;

    Outcome keep_draft(const std::string& bytes);             // transient: unfinished work on the screen
    Result<std::string> draft() const;                        // "" when there is none
    Result<Health> check(Progress* progress = nullptr, bool words = true) const;  // everything, slowly

    struct Impl;                                              // defined inside core/store only

private:
    friend class Snapshot;                                    // core/store/snapshot.h
    friend class Merging;                                     // core/store/merging.h
    explicit Store(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> impl_;
};

}  // namespace restand
