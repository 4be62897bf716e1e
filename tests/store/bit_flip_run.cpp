#include "tests/store/bit_flip_run.h"

#include <sqlite3.h>

#include <algorithm>
#include <random>
#include <sstream>

#include "core/codec/bundle.h"
#include "core/store/backup.h"
#include "core/sync/sync_bundle.h"
#include "tests/store/power_cut_season.h"
#include "tests/store/workshop.h"

namespace restand::test {
namespace {

constexpr std::int64_t later = 1'800'000'000'000;  // 2027-01-15, ms; after the season

// What a reader gets of a file: entries or a refusal, whether damage was named, the clock of what would be
// next.
struct Got {
    bool refused = false, named = false;
    std::vector<Entry> entries;
    Clock next;
};

Got read_workshop(const std::string& path) {
    Got got;
    auto store = Store::open(path, Store::Mode::write, [] { return later; });
    if (!store) return got.refused = true, got;
    const auto health = store->check();
    if (!health || !health->whole) return got.named = true, got;
    auto entries = store->all();
    if (!entries) return got.refused = true, got;
    got.entries = std::move(*entries);
    const auto next = store->append(encode(PersonBody{"Noor"}));
    if (!next) return got.refused = true, got;
    got.next = next->clock;
    return got;
}

// Only what SQLite itself notices: bodies as they are found, no hash looked at. The control.
Got read_blindly(const std::string& path) {
    Got got;
    sqlite3* db = nullptr;
    sqlite3_stmt* rows = nullptr;
    got.refused =
        sqlite3_open_v2(path.c_str(), &db, SQLITE_OPEN_READONLY, nullptr) != SQLITE_OK ||
        sqlite3_prepare_v2(db, "SELECT kind,body FROM entry ORDER BY id", -1, &rows, nullptr) != SQLITE_OK;
    int code = SQLITE_DONE;
    while (!got.refused && (code = sqlite3_step(rows)) == SQLITE_ROW) {
        Entry entry;
        const auto text = [&](int column) {
            const auto* from = static_cast<const char*>(sqlite3_column_blob(rows, column));
            return std::string(from ? from : "",
                               static_cast<std::size_t>(sqlite3_column_bytes(rows, column)));
        };
        entry.kind = text(0), entry.body = text(1);
        got.entries.push_back(std::move(entry));
    }
    got.refused = got.refused || code != SQLITE_DONE;
    sqlite3_finalize(rows);
    sqlite3_close(db);
    return got;
}

Got of_entries(Result<std::vector<Entry>> read) {
    Got got;
    got.refused = !read;
    if (read) got.entries = std::move(*read);
    return got;
}
Got of_sync_bundle(Result<SyncBundle> read) {
    return read ? of_entries(std::move(read->entries)) : of_entries(read.error());
}

}  // namespace

FlipTally flip_bits(Rested what, std::uint64_t count, unsigned seed, bool blind) {
    // A season with everything in it, at rest.
    const Folder home;
    Script script;
    script.weekends = 3;
    Season season(script);
    season.play(home.path());
    const std::string workshop = Season::workshop(home.path());
    std::string file = workshop;
    if (what == Rested::backup) {
        const Store store = test::open(workshop);
        file = test::got(back_up(store, home.path("backups"), later)).path;
    }
    std::string whole = bytes_of(file);
    const auto entries = test::got(test::open(workshop).all());
    if (what == Rested::bundle) whole = write_bundle(entries);
    if (what == Rested::sync_bundle)
        whole = write_sync_bundle({{7, "truck", later, ranges_of(entries)}, entries});

    const std::string harmed = home.path("harmed.restand");
    const auto read = [&](const std::string& bytes) {
        if (what == Rested::bundle) return of_entries(read_bundle(bytes));
        if (what == Rested::sync_bundle) return of_sync_bundle(read_sync_bundle(bytes));
        write_bytes(harmed, bytes);
        return blind ? read_blindly(harmed) : read_workshop(harmed);
    };
    const Got as_it_was = read(whole);
    check(!as_it_was.refused && !as_it_was.named, "the file is good before it is harmed");

    FlipTally tally;
    std::mt19937_64 random(seed);
    for (; tally.flips < count; ++tally.flips) {
        const std::uint64_t bit = random() % (whole.size() * 8);
        std::string bytes = whole;
        bytes[bit / 8] = static_cast<char>(bytes[bit / 8] ^ (1 << bit % 8));
        const Got now = read(bytes);
        if (now.refused)
            ++tally.refused;
        else if (now.named)
            ++tally.named;
        else if (now.entries != as_it_was.entries) {
            ++tally.accepted;
            if (tally.examples.size() < 5) tally.examples.push_back("bit " + std::to_string(bit));
        } else if (now.next != as_it_was.next) {
            ++tally.clock;
            if (tally.examples.size() < 5) tally.examples.push_back("clock: bit " + std::to_string(bit));
        } else
            ++tally.same;
    }
    return tally;
}

std::string FlipTally::text() const {
    std::ostringstream out;
    out << flips << " bits: " << refused << " refused, " << named << " named, " << same << " read as it was, "
        << accepted << " changed and accepted, " << clock << " clocks changed";
    for (const std::string& one : examples) out << "\n  " << one;
    return out.str();
}

}  // namespace restand::test
