#pragma once
// Devices that no longer take part: replaced by a restore, or put at rest by a person because they are lost,
// sold, or an unused clone. They are no longer listed among the devices that lack entries. Their entries
// stay.
//
// A device at rest has an entry that follows itself (DeviceBody::follows). Earlier versions leave out every
// device that is followed, so they leave it out too. If two entries stand for one device, it is at rest only
// if both say so.

#include <optional>
#include <set>
#include <span>
#include <string>
#include <vector>

#include "core/sync/sync_bundle.h"
#include "core/ledger/body.h"

namespace restand {

// `entries`: those a workshop opens with (Store::opening). Entries of other kinds are skipped.
struct NamedDevice {
    Id entry;                             // the entry with this body
    std::uint64_t device = 0;             // its incarnation
    std::uint64_t follows = 0;            // the incarnation before a restore; 0: none; itself: at rest
    DeviceBody body;
};
std::vector<NamedDevice> standing_devices(std::span<const Entry> entries);  // not superseded
std::set<std::uint64_t> left_devices(std::span<const Entry> entries);  // replaced, or at rest
bool at_rest(std::span<const Entry> entries, std::uint64_t device);
void leave_out(std::vector<Seen>& seen, std::span<const Entry> entries);
// The entry that puts the device at rest. It supersedes the device's standing entries.
NewEntry lay_to_rest(std::span<const Entry> entries, std::uint64_t device, const std::string& name);
// The entry for a device at rest that has synced again; nullopt: it is not at rest.
std::optional<NewEntry> back_from_rest(std::span<const Entry> entries, std::uint64_t device);

}  // namespace restand
