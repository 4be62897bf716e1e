// The folder place. Nothing in it is trusted: a file may be incomplete, from anybody, or removed at any time.

#include <algorithm>
#include <filesystem>
#include <optional>
#include <set>
#include <tuple>

#include "core/codec/bundle.h"
#include "core/codec/canonical.h"
#include "core/codec/time_text.h"
#include "core/files/file.h"
#include "core/files/held_folder.h"
#include "core/ledger/device_hex.h"
#include "core/sync/sync_pool.h"

namespace restand {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view place_name = "restand-exchange", holds_name = "holds.rst", file_ending = ".rst";
constexpr std::size_t entries_a_file = 4000;
constexpr std::size_t bytes_a_file = 8u << 20;

bool names_a_device(const std::string& name) {
    return name.size() == 16 && name.find_first_not_of("0123456789abcdef") == std::string::npos;
}

Error failed(const fs::path& path, const std::error_code& why) {
    const bool gone = why == std::errc::no_such_file_or_directory || why == std::errc::not_a_directory;
    const bool denied = why == std::errc::permission_denied || why == std::errc::read_only_file_system ||
                        why == std::errc::operation_not_permitted;
    const auto code = gone ? ErrorCode::not_found : denied ? ErrorCode::read_only : ErrorCode::io;
    return {code, path.string(), why.message()};
}

// The content of a folder, sorted by name, without hidden files of synchronisers and systems (".stfolder").
Result<std::vector<fs::path>> listed_paths(const fs::path& folder) {
    std::error_code why;
    std::vector<fs::path> paths;
    for (fs::directory_iterator at(folder, why); !why && at != fs::directory_iterator(); at.increment(why))
        if (!at->path().filename().string().starts_with(".")) paths.push_back(at->path());
    if (why) return failed(folder, why);
    std::sort(paths.begin(), paths.end());
    return paths;
}

// Reads a sync bundle or a holds file. Errors name the file.
Result<SyncBundle> sync_bundle_at(const fs::path& path, Progress* progress = nullptr) {
    std::error_code why;
    const auto status = fs::symlink_status(path, why);
    if (why) return failed(path, why);
    if (fs::is_symlink(status)) return Error{ErrorCode::wrong_type, path.string(), "a file, this is a link"};
    if (!fs::is_regular_file(status)) return Error{ErrorCode::not_ours, path.string(), "no file"};
    if (path.extension() == ".part")
        return Error{ErrorCode::truncated, path.string(), "it is still being written, or was left half way"};
    if (path.extension() != file_ending) return Error{ErrorCode::not_ours, path.string(), ""};
    const auto size = fs::file_size(path, why);
    if (why) return failed(path, why);
    if (size > bundle_cap + 1024)
        return Error{ErrorCode::too_large, path.string(), std::to_string(bundle_cap >> 20) + " MB"};
    const auto bytes = read_file(path.string(), size + 1);
    if (!bytes) return bytes.error();
    auto sync_bundle = read_sync_bundle(*bytes, progress);
    if (sync_bundle || sync_bundle.error().code == ErrorCode::cancelled) return sync_bundle;
    Error error = sync_bundle.error();
    if (error.subject != "file") error.detail = "entry " + error.subject + ": " + error.detail;
    error.subject = path.string();
    return error;
}

// The folders of the devices. A place that nobody has written to yet is empty; that is not an error.
Result<std::vector<fs::path>> device_folders(const FolderPlace& place, std::vector<Error>* refused) {
    std::error_code why;
    const fs::path folder = place.folder;
    if (!fs::is_directory(folder, why))
        return Error{ErrorCode::not_found, place.folder, "the folder is not there"};
    const fs::path inside = folder / place_name;
    if (fs::is_symlink(inside, why)) return linked_folder(inside.string());
    if (!fs::exists(inside, why) && !why) return std::vector<fs::path>{};
    const auto all = listed_paths(inside);
    if (!all) return all.error();
    std::vector<fs::path> folders;
    for (const fs::path& path : *all) {
        const bool named = names_a_device(path.filename().string());
        if (named && fs::is_symlink(path, why)) {
            if (refused) refused->push_back(linked_folder(path.string()));
        } else if (named && fs::is_directory(path, why))
            folders.push_back(path);
        else if (refused)
            refused->push_back({ErrorCode::not_ours, path.string(), ""});
    }
    return folders;
}

Result<Sender> holds_at(const fs::path& folder) {
    const fs::path path = folder / holds_name;
    const auto sync_bundle = sync_bundle_at(path);
    if (!sync_bundle) return sync_bundle.error();
    if (in_hex(sync_bundle->sender.device) != folder.filename().string())
        return Error{ErrorCode::contradiction, path.string(), "it speaks for another device"};
    return sync_bundle->sender;
}

// True if our own entries contradict a statement: we hold other entries under the same numbers.
bool contradicts(const Sender& said, const Sender& me) {
    return std::any_of(said.holds.begin(), said.holds.end(), [&](const auto& one) {
        const auto& [device, range] = one;
        const auto mine = me.holds.find(device);
        return mine != me.holds.end() && mine->second.numbers == range.numbers &&
               mine->second.count == range.count && mine->second.sum != range.sum;
    });
}
// True also if the device states fewer of its own entries than we hold of it: the statement is old or forged.
bool doubtful(const Sender& said, const Sender& me) {
    if (contradicts(said, me)) return true;
    const auto known = me.holds.find(said.device), own = said.holds.find(said.device);
    if (known == me.holds.end()) return false;
    return own == said.holds.end() || own->second.numbers.empty() ||
           own->second.numbers.back().last < known->second.numbers.back().last;
}

// The last statement of a device. If that cannot be read or is doubtful: the newest sender in its sync
// bundles, which never change. nullopt: nothing of this device is there.
std::optional<Sender> last_word(const fs::path& folder, const Sender& me) {
    auto said = holds_at(folder);
    if (said && !doubtful(*said, me)) return *said;
    std::error_code why;
    std::optional<Sender> best;
    if (fs::exists(folder / holds_name, why))
        best = Sender{from_hex(folder.filename().string()), said ? said->name : "", 0, {}};
    const auto files = listed_paths(folder);
    for (const fs::path& file : files ? *files : std::vector<fs::path>{}) {
        if (file.filename() == holds_name) continue;
        auto sync_bundle = sync_bundle_at(file);
        if (!sync_bundle || in_hex(sync_bundle->sender.device) != folder.filename().string()) continue;
        if (!best || newer(sync_bundle->sender, *best)) best = std::move(sync_bundle->sender);
    }
    // The statement is old, but nothing contradicts it: it is the newest one known.
    if (said && best && newer(*said, *best) && !contradicts(*said, me)) best = *said;
    return best;
}

// The entries of all readable sync bundles together, each once.
class FolderPool : public Pool {
public:
    FolderPool(const FolderPlace& place, const Sender& me) : place_(place), me_(me) {}

    Outcome load(Progress* progress);
    Result<VersionRanges> ranges() override;
    Result<VersionRange> within(std::uint64_t device, const Numbers& numbers) override;
    Result<std::uint64_t> write(const std::vector<Entry>& entries) override;
    Result<std::uint64_t> finish() override;
    Outcome read(std::uint64_t device, const Numbers& numbers, Taken& taken) override;

    // Makes the device's own folder and removes its incomplete files, which a pulled stick may leave.
    Outcome prepare();
    Outcome write_holds();
    // Removes the written files after a cancel.
    void take_back();

    std::vector<Error> refused;

private:
    struct Key {
        std::uint64_t device = 0, number = 0;
        Hash hash{};
        friend auto operator<=>(const Key&, const Key&) = default;
    };
    Outcome load_file(const fs::path& path, Progress* progress);
    Outcome flush();
    bool ours(const Key& key) const;

    const FolderPlace& place_;
    const Sender& me_;
    std::set<Key> keys_;
    std::vector<Entry> fresh_;  // under numbers that we do not have
    std::vector<fs::path> readable_;
    std::optional<HeldFolder> own_;     // from prepare() on
    std::vector<std::string> written_;  // names in it
    std::vector<Entry> held_back_;
    std::size_t held_bytes_ = 0;
};

bool FolderPool::ours(const Key& key) const {
    const auto mine = me_.holds.find(key.device);
    if (mine == me_.holds.end()) return false;
    const Numbers& numbers = mine->second.numbers;
    const auto after = std::upper_bound(numbers.begin(), numbers.end(), key.number,
                                        [](std::uint64_t n, const NumberRange& r) { return n < r.first; });
    return after != numbers.begin() && std::prev(after)->last >= key.number;
}

Outcome FolderPool::load_file(const fs::path& path, Progress* progress) {
    auto sync_bundle = sync_bundle_at(path, progress);
    if (!sync_bundle && sync_bundle.error().code == ErrorCode::cancelled) return sync_bundle.error();
    if (!sync_bundle) {
        refused.push_back(sync_bundle.error());
        return Done{};
    }
    readable_.push_back(path);
    for (Entry& entry : sync_bundle->entries) {
        const Key key{entry.device, entry.number, entry.hash};
        const bool first = keys_.insert(key).second;
        if (first && !ours(key)) fresh_.push_back(std::move(entry));
    }
    return Done{};
}

Outcome FolderPool::load(Progress* progress) {
    const auto folders = device_folders(place_, &refused);
    if (!folders) return folders.error();
    for (const fs::path& folder : *folders) {
        const auto files = listed_paths(folder);
        if (!files) {
            refused.push_back(files.error());
            continue;
        }
        for (const fs::path& file : *files) {
            if (cancelled(progress)) return cancelled_error();
            if (file.filename() == holds_name) {
                if (const auto holds = holds_at(folder); !holds) refused.push_back(holds.error());
            } else if (const auto loaded = load_file(file, progress); !loaded) {
                return loaded.error();
            }
        }
    }
    return Done{};
}

Result<VersionRanges> FolderPool::ranges() {
    VersionRanges all;
    for (const Key& key : keys_) add(all, key.device, key.number, key.hash);
    return all;
}

Result<VersionRange> FolderPool::within(std::uint64_t device, const Numbers& numbers) {
    VersionRanges all;
    for (const NumberRange& number_range : numbers)
        for (auto at = keys_.lower_bound({device, number_range.first, {}});
             at != keys_.end() && at->device == device && at->number <= number_range.last; ++at)
            add(all, at->device, at->number, at->hash);
    return all[device];
}

Outcome FolderPool::read(std::uint64_t device, const Numbers& numbers, Taken& taken) {
    const std::vector<Lack> wanted{{device, numbers, count_of(numbers), false}};
    bool known = false;
    std::set<Key> given;
    for (const NumberRange& number_range : numbers) known = known || ours({device, number_range.first, {}});
    // Entries under numbers that we do not have were kept by load(); the others are read from the files
    // again.
    if (!known) {
        for (const Entry& entry : fresh_)
            if (restand::within(wanted, entry.device, entry.number)) taken.entries.push_back(entry);
        return Done{};
    }
    for (const fs::path& path : readable_) {
        auto sync_bundle = sync_bundle_at(path);
        if (!sync_bundle) {
            refused.push_back(sync_bundle.error());
            continue;
        }
        for (Entry& entry : sync_bundle->entries)
            if (restand::within(wanted, entry.device, entry.number) &&
                given.insert({entry.device, entry.number, entry.hash}).second)
                taken.entries.push_back(std::move(entry));
    }
    return Done{};
}

Result<std::uint64_t> FolderPool::write(const std::vector<Entry>& entries) {
    std::uint64_t count = 0;
    for (const Entry& entry : entries) {
        if (!keys_.insert({entry.device, entry.number, entry.hash}).second) continue;
        held_back_.push_back(entry);
        held_bytes_ += entry.body.size() + 256;
        ++count;
        if (held_back_.size() < entries_a_file && held_bytes_ < bytes_a_file) continue;
        if (const auto flushed = flush(); !flushed) return flushed.error();
    }
    return count;
}

Result<std::uint64_t> FolderPool::finish() {
    if (const auto flushed = flush(); !flushed) return flushed.error();
    return std::uint64_t{0};
}

Outcome FolderPool::flush() {
    if (held_back_.empty()) return Done{};
    const std::string bytes = write_sync_bundle({me_, std::exchange(held_back_, {})});
    held_bytes_ = 0;
    const std::string name = stamp_of(me_.at_ms) + "-" + to_text(sha256(bytes)).substr(0, 16);
    if (const auto wrote = own_->write(name + std::string(file_ending), bytes, Readers::everybody); !wrote)
        return wrote.error();
    written_.push_back(name + std::string(file_ending));
    return Done{};
}

Outcome FolderPool::prepare() {
    const auto chosen = HeldFolder::open(place_.folder);
    if (!chosen) return chosen.error();
    const auto exchange = chosen->inside(std::string(place_name));
    if (!exchange) return exchange.error();
    const auto own = exchange->inside(in_hex(me_.device));
    if (!own) return own.error();
    own_ = *own;
    const auto files = listed_paths(own_->path());
    if (!files) return files.error();
    for (const fs::path& file : *files)
        if (file.extension() == ".part") own_->remove(file.filename().string());
    return Done{};
}

Outcome FolderPool::write_holds() {
    return own_->write(std::string(holds_name), write_sync_bundle({me_, {}}), Readers::everybody);
}

void FolderPool::take_back() {
    for (const std::string& name : written_) own_->remove(name);
}

}  // namespace

Result<std::vector<Seen>> look(const FolderPlace& place, const Sender& me) {
    const auto folders = device_folders(place, nullptr);
    if (!folders) return folders.error();
    std::vector<Sender> others;
    for (const fs::path& folder : *folders)
        if (auto said = last_word(folder, me)) others.push_back(std::move(*said));
    return seen_by(me, std::move(others));
}

Result<std::uint64_t> put(const FolderPlace& place, const Sender& me, const Those& those,
                          Progress* progress) {
    FolderPool pool(place, me);
    if (const auto loaded = pool.load(progress); !loaded) return loaded.error();
    if (const auto ready = pool.prepare(); !ready) return ready.error();
    auto written = put_into(pool, me, those, progress);
    if (!written && written.error().code == ErrorCode::cancelled) pool.take_back();
    if (!written) return written;
    // Written last, when everything that it states is in the place.
    if (const auto held = pool.write_holds(); !held) return held.error();
    return written;
}

Result<Taken> take(const FolderPlace& place, const Sender& me, Progress* progress) {
    FolderPool pool(place, me);
    Taken taken;
    if (const auto loaded = pool.load(progress); !loaded) return loaded.error();
    if (const auto took = take_from(pool, me, taken, progress); !took) return took.error();
    taken.refused = std::move(pool.refused);
    return taken;
}

}  // namespace restand
