// Puts a backup in the workshop's place. At every moment one of the two files has the workshop's name: the
// old file gets a second name first, then the new one is renamed over it.

#include <algorithm>
#include <bit>
#include <filesystem>
#include <fstream>
#include <set>

#include "core/codec/body_json.h"
#include "core/codec/time_text.h"
#include "core/ledger/device_hex.h"
#include "core/store/backup.h"
#include "core/store/copy.h"
#include "core/store/database.h"
#include "core/store/health.h"
#include "core/store/impl.h"

namespace restand {
namespace {

namespace fs = std::filesystem;

// The device's name when the backup was made.
std::string name_of(const Ledger& ledger, std::uint64_t incarnation) {
    return ledger.device_name(incarnation);
}

// A device that continues from an old copy must not reuse numbers that later entries already have.
Outcome begin_incarnation(const std::string& part, std::int64_t now_ms) {
    std::uint64_t before = 0;
    {
        // Also upgrades an older format.
        const auto store = Store::open(part, Store::Mode::write);
        if (!store) return store.error();
        before = store->device();
    }
    const std::uint64_t device = new_device();
    {
        const auto db = Database::open(part, SQLITE_OPEN_READWRITE);
        if (!db) return db.error();
        if (const auto settled = settle(*db); !settled) return settled;
        const std::string sql =
            "UPDATE device SET incarnation=" + std::to_string(std::bit_cast<std::int64_t>(device)) +
            ", number=0, hash=zeroblob(32); PRAGMA journal_mode=DELETE";
        if (const auto set = db->run(sql.c_str()); !set) return set;
    }
    auto store = Store::open(part, Store::Mode::write, [now_ms] { return now_ms; });
    if (!store) return store.error();
    const auto entries = store->opening();
    if (!entries) return entries.error();
    Ledger ledger;
    (void)read_into(ledger, *entries);
    const auto named =
        store->append(encode(DeviceBody{name_of(ledger, before), in_hex(device), in_hex(before)}));
    if (!named) return named.error();
    return Done{};
}

// Opening rolls back what a killed process left unfinished; the journal is then not needed. A file too
// damaged for that keeps its journal beside its new name. A journal beside the new file would be rolled back
// into it.
Outcome settle_old(const std::string& workshop, const std::string& rejected) {
    if (auto old = Store::open(workshop, Store::Mode::read); old) (void)old->draft();
    std::error_code wrong;
    if (fs::exists(workshop + "-journal", wrong))
        if (const auto moved = rename_durably(workshop + "-journal", rejected + "-journal"); !moved)
            return moved;
    return Done{};
}

// A second name, or a copy where the file system allows only one name per file.
Outcome also_named(const std::string& workshop, const std::string& rejected) {
    std::error_code wrong;
    fs::create_hard_link(workshop, rejected, wrong);
    if (!wrong) return Done{};
    return copy_file_durably(workshop, rejected);
}

std::string free_name(const std::string& workshop, std::int64_t now_ms) {
    const std::string name = workshop + ".replaced-" + stamp_of(now_ms);
    std::error_code ignored;
    if (!fs::exists(name, ignored)) return name;
    for (int n = 2;; ++n)
        if (const auto other = name + "-" + std::to_string(n); !fs::exists(other, ignored)) return other;
}

// A device special file has no end, and a large file that is no workshop would only fill the disk.
Outcome can_be_copied(const std::string& backup) {
    std::error_code wrong;
    const auto status = fs::status(backup, wrong);
    if (!fs::exists(status)) return Error{ErrorCode::not_found, backup, ""};
    if (!fs::is_regular_file(status))
        return Error{ErrorCode::not_ours, backup, "a copy of a workshop was expected"};
    if (!std::ifstream(fs::path(backup))) return Error{ErrorCode::io, backup, "it cannot be opened"};
    if (first_bytes(backup) == database_start) return Done{};
    return Error{ErrorCode::not_ours, backup, "a copy of a workshop was expected"};
}

// The devices that have written in a file, as far as readable; empty: none, or nothing can be read.
std::set<std::uint64_t> writers_in(const std::string& path) {
    std::set<std::uint64_t> writers;
    const auto add_all = [&](const VersionRanges& holds) {
        for (const auto& [device, range] : holds) writers.insert(device);
    };
    if (const auto store = Store::open(path, Store::Mode::read))
        if (const auto holds = store->ranges()) return add_all(*holds), writers;
    if (const auto left = salvage(path))
        for (const Entry& e : left->entries) writers.insert(e.device);
    return writers;
}

// Two workshops are unrelated if no device has written in both.
bool another_workshop(const std::string& part, const std::string& workshop) {
    const auto copied = writers_in(part), here = writers_in(workshop);
    if (copied.empty() || here.empty()) return false;
    return std::none_of(copied.begin(), copied.end(),
                        [&](std::uint64_t device) { return here.contains(device); });
}

}  // namespace

Result<std::string> restore_backup(const std::string& backup, const std::string& given, std::int64_t now_ms,
                                   bool other) {
    const std::string workshop = real_path(given);
    if (const auto able = can_be_copied(backup); !able) return able.error();
    std::error_code gone;
    if (fs::equivalent(backup, workshop, gone))
        return Error{ErrorCode::contradiction, backup, "the workshop itself"};
    // Nobody may write during the restore.
    auto lock = FileLock::take(workshop + ".lock");
    if (!lock) return Error{lock.error().code, workshop, lock.error().detail};

    const std::string part = workshop + ".restore.part";
    const PartFile gone_after(part);
    if (const auto copied = copy_file_durably(backup, part); !copied) return copied.error();
    // The copy is checked, because the copy is what will be put in place.
    const auto health = check_file(part, nullptr);
    if (!health) return Error{health.error().code, backup, health.error().detail};
    if (!health->whole)
        return Error{ErrorCode::damaged, backup, health->found.empty() ? "" : health->found.front().detail};
    if (!other && fs::exists(workshop, gone) && another_workshop(part, workshop))
        return Error{ErrorCode::contradiction, backup, "another workshop"};
    if (const auto begun = begin_incarnation(part, now_ms); !begun)
        return Error{begun.error().code, begun.error().subject == part ? workshop : begun.error().subject,
                     begun.error().detail};
    if (const auto synced = sync_file(part); !synced) return synced.error();

    std::string rejected;
    std::error_code ignored;
    if (fs::exists(workshop, ignored)) {
        rejected = free_name(workshop, now_ms);
        if (const auto settled = settle_old(workshop, rejected); !settled) return settled.error();
        if (const auto named = also_named(workshop, rejected); !named) return named.error();
    }
    if (const auto placed = rename_durably(part, workshop); !placed) {
        // Renamed, but the folder could not be synced: the new file is in place, and a power cut may undo it.
        Error error = placed.error();
        if (!fs::exists(part, ignored)) error.detail += "; cannot tell whether it stays restored";
        return error;
    }
    return rejected;
}

Result<std::string> set_workshop_aside(const std::string& given, std::int64_t now_ms) {
    const std::string workshop = real_path(given);
    auto lock = FileLock::take(workshop + ".lock");
    if (!lock) return Error{lock.error().code, workshop, lock.error().detail};
    std::string rejected = free_name(workshop, now_ms);
    if (const auto settled = settle_old(workshop, rejected); !settled) return settled.error();
    if (const auto moved = rename_durably(workshop, rejected); !moved) return moved.error();
    return rejected;
}

}  // namespace restand
