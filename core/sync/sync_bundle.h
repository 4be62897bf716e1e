#pragma once
// A sync bundle carries entries between devices: a bundle (codec/bundle.h) with its sender and what the
// sender holds. Also here: the places it is exchanged through. Store::merge() merges for all of them.
//
// A sync bundle is a bundle of version 2: sender, its name and time, its version ranges, the version ranges
// of the bundle itself, then the entries. Version 1 (entries alone) is read as well. Nothing is decoded
// before length and hash agree.

#include <functional>
#include <string>
#include <vector>

#include "core/ledger/version_ranges.h"
#include "core/quantity/progress.h"

namespace restand {

struct Sender {
    std::uint64_t device = 0;             // incarnation
    std::string name;                     // "truck laptop"
    std::int64_t at_ms = 0;
    VersionRanges holds;                       // everything it held when it wrote this
};
struct SyncBundle {
    Sender sender;
    std::vector<Entry> entries;
};
std::string write_sync_bundle(const SyncBundle& sync_bundle);
// Also of version 1. Every entry is verified here, or left to Store::merge(), which verifies too; its hash is
// not to be relied on before that.
enum class Verified { here, by_merge };
Result<SyncBundle> read_sync_bundle(std::string_view bytes, Progress* progress = nullptr,
                                    Verified verified = Verified::here);

// A place where devices write and read entries. Its content is never trusted: every entry is verified.
struct Seen {                             // another device, by its last statement in the place
    Sender sender;
    std::uint64_t lacks = 0;              // entries that we hold and it did not
    std::uint64_t has = 0;                // entries that it held and we do not
};
struct Taken { std::vector<Entry> entries; std::vector<Error> refused; };   // refused: what and why

// A folder on a stick, a share or a synchronised directory.
//   FOLDER/restand-exchange/INCARNATION/holds.rst            what that device holds
//   FOLDER/restand-exchange/INCARNATION/DATE-HASH.rst        sync bundles; immutable
// Each device writes only into its own sub-folder: to a temporary file that is synced and then renamed. An
// incomplete or damaged file is skipped and reported; it is read again next time.
struct FolderPlace { std::string folder; };
Result<std::vector<Seen>> look(const FolderPlace& place, const Sender& me);
// Writes the entries that the place does not hold yet; returns their number. `those`: Store::those.
using Those = std::function<Result<std::vector<Entry>>(const std::vector<Lack>&)>;
Result<std::uint64_t> put(const FolderPlace& place, const Sender& me, const Those& those,
                          Progress* progress = nullptr);
// Reads the entries that the place holds and we lack.
Result<Taken> take(const FolderPlace& place, const Sender& me, Progress* progress = nullptr);

}  // namespace restand
