// Invariants
//   1  A file named .backup is whole: the copy is opened and checked under another name, its sum written, and
//      only then renamed.
//   2  Nothing is deleted before the new copy has its name and has been opened; of the copies that are left
//      at least the new one is good.
//   3  'Newest' is the last one made, by a count in the sum file: the wall clock may have been set back.
//   4  Only the device that made a copy deletes it: several devices may share a folder, and a name.
//   5  A copy is hashed once, when it is made, and again only when a person lists it or its file was touched
//      since.

#include "core/store/backup.h"

#include <algorithm>
#include <bit>
#include <charconv>
#include <cstdio>
#include <filesystem>
#include <set>

#include "core/codec/time_text.h"
#include "core/ledger/day.h"
#include "core/ledger/device_hex.h"
#include "core/store/copy.h"
#include "core/store/database.h"
#include "core/store/health.h"
#include "core/store/schema.h"
#include "core/store/snapshot.h"

namespace restand {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t newest_kept = 10, days_kept = 7, weeks_kept = 12, damaged_kept = 3;
constexpr std::uint64_t due_after = 50;  // entries

struct Kept {
    Backup backup;
    std::uint64_t order = 0;  // count of backups made before it, from 1; 0: unknown
    std::uint64_t bytes = 0;
    bool touched = false;  // written to since its hash was taken
    std::string sha256;    // as its sum file says
};

std::string stem_of(const std::string& workshop) {
    return fs::path(workshop).stem().string();
}

// The sum file: "sha256 …\nentries …\nbytes …\norder …\n"
std::optional<std::string> field(std::string_view text, std::string_view name) {
    for (std::size_t at = 0; at < text.size();) {
        const auto end = std::min(text.find('\n', at), text.size());
        const auto line = text.substr(at, end - at);
        if (line.starts_with(name) && line.size() > name.size() && line[name.size()] == ' ')
            return std::string(line.substr(name.size() + 1));
        at = end + 1;
    }
    return std::nullopt;
}
std::uint64_t number(const std::optional<std::string>& text) {
    std::uint64_t value = 0;
    if (text) std::from_chars(text->data(), text->data() + text->size(), value);
    return value;
}

std::uint64_t number_from_hex(const std::optional<std::string>& text) {
    return text && text->size() == 16 ? from_hex(*text) : 0;
}

// "STEM-YYYYMMDD-HHMMSS-ENTRIES.backup" or "…-ENTRIES-DEVICE.backup" of any stem; nullopt: another file.
struct Named {
    std::string stem;
    Backup backup;
};
std::optional<Named> named(const fs::path& path) {
    std::string name = path.filename().string();
    constexpr std::string_view ending = ".backup";
    if (!name.ends_with(ending)) return std::nullopt;
    name.resize(name.size() - ending.size());
    const auto cut = [&name]() -> std::optional<std::string> {
        const auto at = name.rfind('-');
        if (at == std::string::npos) return std::nullopt;
        std::string last = name.substr(at + 1);
        name.resize(at);
        return last;
    };
    // From the end: eight digits are a device if the name without them is a copy's name.
    const auto read = [&](bool device) -> std::optional<Named> {
        const std::string whole = name;
        if (const auto short_form = device ? cut() : ""; !short_form || (device && short_form->size() != 8))
            return name = whole, std::nullopt;
        const auto count = cut(), time = cut(), day = cut();
        Named found{name, {path.string()}};
        name = whole;
        if (!count || count->empty() || !time || !day) return std::nullopt;
        const auto at = ms_of_stamp(*day + "-" + *time);
        const char* end = count->data() + count->size();
        const auto [last, wrong] = std::from_chars(count->data(), end, found.backup.entries);
        if (!at || wrong != std::errc() || last != end) return std::nullopt;
        found.backup.at_ms = *at;
        return found;
    };
    if (auto with = read(true)) return with;
    return read(false);
}

// Older copies have no device in the sum file: the device's row inside the copy identifies it.
std::uint64_t device_inside(const std::string& path) {
    const auto db = Database::open(path, SQLITE_OPEN_READONLY);
    if (!db || !version_of(*db)) return 0;
    const auto device = db->number("SELECT incarnation FROM device");
    return device ? std::bit_cast<std::uint64_t>(*device) : 0;
}

void read_sum(Kept& one) {
    Backup& backup = one.backup;
    std::error_code wrong;
    one.bytes = fs::file_size(backup.path, wrong);
    const auto sum = read_file(backup.path + ".sum", 4096);
    if (!sum) return;
    one.order = number(field(*sum, "order"));
    one.touched = field(*sum, "written") != written_at(backup.path);
    backup.device = number_from_hex(field(*sum, "device"));
    backup.workshop = number_from_hex(field(*sum, "workshop"));
    one.sha256 = field(*sum, "sha256").value_or("");
    const bool agrees = !wrong && number(field(*sum, "bytes")) == one.bytes &&
                        number(field(*sum, "entries")) == backup.entries;
    const bool damaged = field(*sum, "whole") == "no";
    backup.good = agrees && !damaged;
    backup.of_damaged = agrees && damaged;
}

void hash(Kept& one, const Progress* progress) {
    if (!one.backup.good && !one.backup.of_damaged) return;
    const auto now = sha256_of_file(one.backup.path, progress);
    if (!now || to_text(*now) != one.sha256) one.backup.good = one.backup.of_damaged = false;
}

enum class Read { sums, touched, whole };
Result<std::vector<Kept>> listed_backups(const std::string& folder, const std::string& workshop,
                                         std::uint64_t device, Read how, const Progress* progress = nullptr) {
    std::vector<Kept> list;
    std::error_code wrong;
    fs::directory_iterator it(folder, wrong);
    if (wrong == std::errc::no_such_file_or_directory) return list;
    for (; !wrong && it != fs::directory_iterator(); it.increment(wrong)) {
        const auto found = named(it->path());
        if (!found) continue;
        if (progress && progress->cancelled) return Error{ErrorCode::cancelled, folder, ""};
        Kept one{found->backup, 0, 0, false, {}};
        read_sum(one);
        const bool same_name = found->stem == stem_of(workshop);
        if (one.backup.device == 0 && same_name) one.backup.device = device_inside(one.backup.path);
        if (!same_name && (device == 0 || one.backup.device != device)) continue;
        if (how == Read::whole || (how == Read::touched && one.touched)) hash(one, progress);
        list.push_back(std::move(one));
    }
    if (wrong) return Error{ErrorCode::io, folder, wrong.message()};
    std::sort(list.begin(), list.end(), [](const Kept& a, const Kept& b) {
        return std::tie(b.order, b.backup.at_ms, b.backup.path) <
               std::tie(a.order, a.backup.at_ms, a.backup.path);
    });
    return list;
}

// Which of them to keep; `list` is newest first. Damaged copies do not count, and are kept while they are
// newer than the oldest good one among the newest: somebody may want to look at them.
std::set<std::string> staying(const std::vector<Kept>& list) {
    std::set<std::string> stay;
    std::set<std::int64_t> days, weeks;
    std::size_t good = 0, of_damaged = 0;
    for (const Kept& one : list) {
        const std::string& path = one.backup.path;
        if (one.backup.of_damaged) {
            if (of_damaged++ < damaged_kept) stay.insert(path);
            continue;
        }
        if (!one.backup.good) {
            if (good < newest_kept) stay.insert(path);
            continue;
        }
        if (good++ < newest_kept) stay.insert(path);
        const std::int64_t day = one.backup.at_ms / day_ms,
                           week = (day + 3) / 7;  // 1970-01-01 was a Thursday
        if (days.size() < days_kept && days.insert(day).second) stay.insert(path);
        if (weeks.size() < weeks_kept && weeks.insert(week).second) stay.insert(path);
    }
    return stay;
}

// A file that cannot be deleted now is deleted next time. For a damaged workshop only damaged copies are
// deleted.
void rotate(const std::string& folder, const std::string& workshop, std::uint64_t device,
            const Progress* progress) {
    const auto own = [&](Read how) {
        auto list = listed_backups(folder, workshop, device, how, progress);
        if (list) std::erase_if(*list, [&](const Kept& one) { return one.backup.device != device; });
        return list;
    };
    auto list = own(Read::sums);
    if (!list || device == 0 || staying(*list).size() == list->size()) return;
    list = own(Read::touched);
    if (!list || (progress && progress->cancelled)) return;
    const auto stay = staying(*list);
    const bool damaged = !list->empty() && list->front().backup.of_damaged;
    std::error_code ignored;
    for (const Kept& one : *list) {
        if (stay.contains(one.backup.path) || (damaged && !one.backup.of_damaged)) continue;
        fs::remove(one.backup.path, ignored);
        fs::remove(one.backup.path + ".sum", ignored);
    }
}

Outcome folder_for(const std::string& folder) {
    // One level only: if the parent folder is missing, a stick was pulled.
    const auto made = make_folder_durably(folder);
    if (made || made.error().code == ErrorCode::read_only) return made;
    return Error{ErrorCode::io, folder, made.error().detail};
}

struct Looked {
    std::uint64_t entries = 0;
    bool whole = false;
    std::uint64_t workshop = 0;
};

// The device that wrote the first entry: the same for all devices that have exchanged, and for earlier
// copies.
std::uint64_t begun_by(const std::string& path) {
    const auto db = Database::open(path, SQLITE_OPEN_READONLY);
    if (!db || !version_of(*db)) return 0;
    const auto first =
        db->number(("SELECT device FROM entry ORDER BY " + std::string(clock_order) + ",id LIMIT 1").c_str());
    return first ? std::bit_cast<std::uint64_t>(*first) : 0;
}

// Whole: every entry's hash and chain is right. Otherwise counts the entries that can be read one by one.
Result<Looked> looked_at(const std::string& path, Progress* progress) {
    auto health = check_file(path, progress, false);
    // A memory bound set briefly by another thread looks like damage; real damage shows the second time too.
    if (health ? !health->whole : health.error().code == ErrorCode::damaged)
        health = check_file(path, progress, false);
    if (progress && progress->cancelled) return Error{ErrorCode::cancelled, path, ""};
    if (health && health->whole) return Looked{health->entries, true, begun_by(path)};
    const bool damaged =
        health || health.error().code == ErrorCode::damaged || health.error().code == ErrorCode::not_ours;
    if (!damaged) return health.error();
    const auto left = salvage(path);
    if (!left) return left.error();
    return Looked{left->entries.size(), false, left->entries.empty() ? 0 : left->entries.front().device};
}

// The copy counts once it is renamed, on disk, and has its sum file.
Result<Backup> put_in_place(const std::string& part, Backup backup, std::uint64_t order,
                            const Progress* progress) {
    const auto hash = sha256_of_file(part, progress, true);
    if (!hash) return hash.error();
    std::error_code ignored;
    const std::string sum = "sha256 " + to_text(*hash) + "\nentries " + std::to_string(backup.entries) +
                            "\nbytes " + std::to_string(fs::file_size(part, ignored)) + "\norder " +
                            std::to_string(order) + "\nwritten " + written_at(part) + "\nwhole " +
                            (backup.of_damaged ? "no" : "yes") + "\ndevice " + in_hex(backup.device) +
                            "\nworkshop " + in_hex(backup.workshop) + "\n";
    if (const auto written = write_file_durably(backup.path + ".sum", sum); !written) return written.error();
    if (const auto moved = rename_durably(part, backup.path); !moved) return moved.error();
    backup.good = !backup.of_damaged;
    return backup;
}

}  // namespace

Result<CopyBegun> begin_copy(const std::string& folder, const std::string& workshop, std::uint64_t device) {
    if (const auto there = folder_for(folder); !there) return there.error();
    const auto name =
        (fs::path(folder) / (stem_of(workshop) + "-" + in_hex(device).substr(0, 8) + ".backup")).string();
    auto lock = FileLock::take(name + ".lock");
    if (!lock && lock.error().code == ErrorCode::in_use)
        return Error{ErrorCode::in_use, folder, "another program makes a copy there"};
    if (!lock) return lock.error();
    CopyBegun begun{std::move(*lock), name + ".part"};
    const PartFile of_a_program_that_was_killed(begun.part);
    return begun;
}

Result<Backup> finish_copy(const CopyBegun& begun, const std::string& workshop, std::uint64_t device,
                           std::int64_t now_ms, Progress* progress) {
    const std::string& part = begun.part;
    const std::string folder = fs::path(part).parent_path().string();
    const auto looked = looked_at(part, progress);
    if (!looked) return looked.error();
    const auto before = listed_backups(folder, workshop, device, Read::sums, progress);
    if (!before) return before.error();
    std::uint64_t order = 0;
    for (const Kept& one : *before) order = std::max(order, one.order);
    // A unique name, also within one second: another copy's sum file must not end up beside it.
    const auto path_at = [&](std::int64_t ms) {
        const std::string name = stem_of(workshop) + "-" + stamp_of(ms) + "-" +
                                 std::to_string(looked->entries) + "-" + in_hex(device).substr(0, 8) +
                                 ".backup";
        return (fs::path(folder) / name).string();
    };
    std::error_code ignored;
    while (fs::exists(path_at(now_ms), ignored)) now_ms += 1000;
    const Backup wanted{path_at(now_ms), now_ms, looked->entries, false,
                        !looked->whole,  device, looked->workshop};
    auto made = put_in_place(part, wanted, order + 1, progress);
    if (made) rotate(folder, workshop, device, progress);
    return made;
}

Result<Backup> back_up(const Store& store, const std::string& folder, std::int64_t now_ms,
                       Progress* progress) {
    const auto begun = begin_copy(folder, store.path(), store.device());
    if (!begun) return begun.error();
    const PartFile gone_after(begun->part);
    {
        auto snapshot = Snapshot::begin(store, begun->part);
        if (!snapshot) return snapshot.error();
        for (bool done = false; !done;) {
            const auto stepped = snapshot->step(std::chrono::milliseconds(20));
            if (!stepped) return stepped.error();
            done = *stepped;
            if (progress && progress->cancelled) return Error{ErrorCode::cancelled, store.path(), ""};
        }
    }
    return finish_copy(*begun, store.path(), store.device(), now_ms, progress);
}

Result<std::vector<Backup>> backups(const std::string& folder, const std::string& workshop,
                                    std::uint64_t device, bool whole, Progress* progress) {
    const auto list = listed_backups(folder, workshop, device, whole ? Read::whole : Read::sums, progress);
    if (!list) return list.error();
    std::vector<Backup> found;
    for (const Kept& one : *list) found.push_back(one.backup);
    return found;
}

bool backup_due(const std::vector<Backup>& made, std::uint64_t entries, bool at_start) {
    const auto newest =
        std::find_if(made.begin(), made.end(), [](const Backup& b) { return b.good || b.of_damaged; });
    if (newest == made.end()) return entries > 0;
    // Fewer than in the newest one: the workshop was restored to an older state, and continues from there.
    if (entries < newest->entries) return at_start;
    return entries - newest->entries >= (at_start ? 1 : due_after);
}

}  // namespace restand
