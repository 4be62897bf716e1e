// Invariants
//   1  A name ending in .backup is whole: the copy is opened and checked under another name, its sum written, and
//      only then renamed.
//   2  Nothing is deleted before the new copy is under its name and has been opened; of those that are left at
//      least the new one is good.
//   3  'Newest' is the last one made, by a count in the sum file: the wall clock may have been set back.

#include "core/store/backup.h"

#include <algorithm>
#include <charconv>
#include <filesystem>
#include <set>

#include "core/store/copy.h"
#include "core/store/database.h"
#include "core/store/health.h"

namespace restand {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t newest_kept = 10, days_kept = 7, weeks_kept = 12;
constexpr std::uint64_t due_after = 50;               // entries
constexpr std::int64_t day_ms = 86'400'000;
constexpr std::uint64_t read_whole = 512ull << 20;    // all sums are taken up to so many bytes; beyond, only sizes

struct Kept {
    Backup backup;
    std::uint64_t order = 0;      // count of backups made before it, from 1; 0: unknown
    std::uint64_t bytes = 0;
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

// "STEM-YYYYMMDD-HHMMSS-ENTRIES.backup" of this stem; nullopt: another file.
std::optional<Backup> named(const fs::path& path, const std::string& stem) {
    const std::string name = path.filename().string();
    constexpr std::string_view ending = ".backup";
    if (!name.starts_with(stem + "-") || !name.ends_with(ending)) return std::nullopt;
    const std::string rest = name.substr(stem.size() + 1, name.size() - stem.size() - 1 - ending.size());
    if (rest.size() < 17 || rest[8] != '-' || rest[15] != '-') return std::nullopt;
    const auto at = ms_of_stamp(std::string_view(rest).substr(0, 15));
    Backup backup{path.string(), at.value_or(0), 0, false};
    const char* end = rest.data() + rest.size();
    const auto [last, wrong] = std::from_chars(rest.data() + 16, end, backup.entries);
    if (!at || wrong != std::errc() || last != end) return std::nullopt;
    return backup;
}

Result<std::vector<Kept>> listed(const std::string& folder, const std::string& workshop, bool whole) {
    std::vector<Kept> list;
    std::error_code wrong;
    fs::directory_iterator it(folder, wrong);
    if (wrong == std::errc::no_such_file_or_directory) return list;
    for (; !wrong && it != fs::directory_iterator(); it.increment(wrong)) {
        const auto backup = named(it->path(), stem_of(workshop));
        if (!backup) continue;
        Kept one{*backup, 0, 0};
        std::error_code ignored;
        one.bytes = fs::file_size(it->path(), ignored);
        const auto sum = read_file(backup->path + ".sum", 4096);
        if (sum) {
            one.order = number(field(*sum, "order"));
            one.backup.good = !ignored && number(field(*sum, "bytes")) == one.bytes &&
                              number(field(*sum, "entries")) == backup->entries;
            if (one.backup.good && whole) {
                const auto hash = sha256_of_file(backup->path);
                one.backup.good = hash && to_text(*hash) == field(*sum, "sha256");
            }
        }
        list.push_back(std::move(one));
    }
    if (wrong) return Error{ErrorCode::io, folder, wrong.message()};
    std::sort(list.begin(), list.end(), [](const Kept& a, const Kept& b) {
        return std::tie(b.order, b.backup.at_ms, b.backup.path) < std::tie(a.order, a.backup.at_ms, a.backup.path);
    });
    return list;
}

// Which of them stay; `list` newest first. Damaged ones count for nothing, and stay while they are newer than the
// oldest good one among the newest: somebody may want to look at them.
std::set<std::string> staying(const std::vector<Kept>& list) {
    std::set<std::string> stay;
    std::set<std::int64_t> days, weeks;
    std::size_t good = 0;
    for (const Kept& one : list) {
        const std::string& path = one.backup.path;
        if (!one.backup.good) {
            if (good < newest_kept) stay.insert(path);
            continue;
        }
        if (good++ < newest_kept) stay.insert(path);
        const std::int64_t day = one.backup.at_ms / day_ms, week = (day + 3) / 7;   // 1970-01-01 was a Thursday
        if (days.size() < days_kept && days.insert(day).second) stay.insert(path);
        if (weeks.size() < weeks_kept && weeks.insert(week).second) stay.insert(path);
    }
    return stay;
}

// What cannot be deleted now is deleted next time.
void rotate(const std::string& folder, const std::string& workshop) {
    auto list = listed(folder, workshop, false);
    if (!list) return;
    if (staying(*list).size() == list->size()) return;
    std::uint64_t bytes = 0;
    for (const Kept& one : *list) bytes += one.bytes;
    if (bytes <= read_whole) list = listed(folder, workshop, true);
    if (!list) return;
    const auto stay = staying(*list);
    std::error_code ignored;
    for (const Kept& one : *list) {
        if (stay.contains(one.backup.path)) continue;
        fs::remove(one.backup.path, ignored);
        fs::remove(one.backup.path + ".sum", ignored);
    }
}

Outcome folder_for(const std::string& folder) {
    // One level only: where the folder's own place is gone, a stick was pulled.
    const auto made = make_folder_durably(folder);
    if (made || made.error().code == ErrorCode::read_only) return made;
    return Error{ErrorCode::io, folder, made.error().detail};
}

// Whole, every entry's hash and chain right. Its count of entries.
Result<std::uint64_t> checked(const std::string& path, Progress* progress) {
    const auto health = check_file(path, progress);
    if (!health) return health.error();
    if (health->whole) return health->entries;
    const std::string why = health->found.empty() ? "" : health->found.front().detail;
    return Error{ErrorCode::damaged, path, why};
}

// Named, opened, its sum beside it: then it counts.
Result<Backup> put_in_place(const std::string& part, Backup backup, std::uint64_t order) {
    const auto hash = sha256_of_file(part);
    if (!hash) return hash.error();
    std::error_code ignored;
    const std::string sum = "sha256 " + to_text(*hash) + "\nentries " + std::to_string(backup.entries) +
                            "\nbytes " + std::to_string(fs::file_size(part, ignored)) + "\norder " +
                            std::to_string(order) + "\n";
    if (const auto written = write_file_durably(backup.path + ".sum", sum); !written) return written.error();
    if (const auto moved = rename_durably(part, backup.path); !moved) return moved.error();
    backup.good = true;
    return backup;
}

}  // namespace

Result<Backup> back_up(const Store& store, const std::string& folder, std::int64_t now_ms, Progress* progress) {
    if (const auto there = folder_for(folder); !there) return there.error();
    const std::string workshop = store.path();
    const auto before = listed(folder, workshop, false);
    if (!before) return before.error();

    const std::string part = (fs::path(folder) / (stem_of(workshop) + ".backup.part")).string();
    const PartFile gone_after(part);
    if (const auto copied = copy_workshop(workshop, part, progress); !copied) return copied.error();
    const auto entries = checked(part, progress);
    if (!entries) return entries.error();

    std::uint64_t order = 0;
    for (const Kept& one : *before) order = std::max(order, one.order);
    // A name of its own, also within one second: another's sum must not come to lie beside it.
    const auto path_at = [&](std::int64_t ms) {
        const std::string name = stem_of(workshop) + "-" + stamp_of(ms) + "-" + std::to_string(*entries) + ".backup";
        return (fs::path(folder) / name).string();
    };
    std::error_code ignored;
    while (fs::exists(path_at(now_ms), ignored)) now_ms += 1000;
    auto made = put_in_place(part, {path_at(now_ms), now_ms, *entries, false}, order + 1);
    if (made) rotate(folder, workshop);
    return made;
}

Result<std::vector<Backup>> backups(const std::string& folder, const std::string& workshop) {
    const auto list = listed(folder, workshop, true);
    if (!list) return list.error();
    std::vector<Backup> found;
    for (const Kept& one : *list) found.push_back(one.backup);
    return found;
}

bool backup_due(const std::vector<Backup>& made, std::uint64_t entries, bool at_start) {
    const auto newest = std::find_if(made.begin(), made.end(), [](const Backup& b) { return b.good; });
    if (newest == made.end()) return entries > 0;
    // Fewer than in the newest one: the workshop was put back to an older state, and goes on from there.
    if (entries < newest->entries) return at_start;
    return entries - newest->entries >= (at_start ? 1 : due_after);
}

}  // namespace restand
