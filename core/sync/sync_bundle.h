#pragma once
// What travels between devices: a bundle (bundle.h) with a note of who sends it and what they hold; and the
// places it travels through. One merge for all of them: Store::merge().
//
// A parcel is a bundle of version 2: sender, its name, its holdings, the holdings of the parcel itself, then the
// entries. Version 1 (entries alone) is read as well. Nothing is decoded before length and hash agree.

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
    VersionRanges holds;                       // everything it held when it wrote
};
struct SyncBundle {
    Sender sender;
    std::vector<Entry> entries;
};
std::string write_sync_bundle(const SyncBundle& sync_bundle);
Result<SyncBundle> read_sync_bundle(std::string_view bytes, Progress* progress = nullptr);   // also of version 1

// A place where devices put and take. What it holds of itself is read, never trusted: every entry is verified.
struct Seen {                             // another device, as the place last heard of it
    Sender sender;
    std::uint64_t lacks = 0;              // entries that we hold and it did not
    std::uint64_t has = 0;                // entries that it held and we do not
};
struct Taken { std::vector<Entry> entries; std::vector<Error> refused; };   // refused: file and why

// A folder on a stick, a share or a synchronised directory.
//   FOLDER/restand-exchange/INCARNATION/holds.rst            what that device holds
//   FOLDER/restand-exchange/INCARNATION/DATE-HASH.rst        parcels; immutable
// Each device writes only into its own sub-folder: written beside, synced, renamed. A file that is half there, or
// damaged, is passed over and named; it is read again next time.
struct FolderPlace { std::string folder; };
Result<std::vector<Seen>> look(const FolderPlace& place, const Sender& me);
// Writes what the place does not hold yet; the number of entries put. `those`: Store::those.
using Those = std::function<Result<std::vector<Entry>>(const std::vector<Lack>&)>;
Result<std::uint64_t> put(const FolderPlace& place, const Sender& me, const Those& those, Progress* progress = nullptr);
// What the place holds and we lack.
Result<Taken> take(const FolderPlace& place, const Sender& me, Progress* progress = nullptr);

}  // namespace restand
