#pragma once
// Devices that take part no more: replaced by a restore, or laid to rest by a person because they are lost, sold, or a
// clone that nobody uses. They are listed no more among those who lack something; their entries stay.
//
// A device laid to rest is written down as following itself (DeviceBody::follows). Earlier versions, which leave out
// whatever is followed, leave it out as well. Where two entries stand for one device it is at rest only if both say so.

#include <optional>
#include <set>
#include <span>
#include <string>
#include <vector>

#include "core/sync/sync_bundle.h"
#include "core/ledger/body.h"

namespace restand {

// `entries`: of a workshop as it opens (Store::opening); those of other kinds are passed over.
struct NamedDevice {
    Id entry;                             // that says so
    std::uint64_t device = 0;             // its incarnation
    std::uint64_t follows = 0;            // the incarnation before a restore; 0: none; itself: laid to rest
    DeviceBody body;
};
std::vector<NamedDevice> standing_devices(std::span<const Entry> entries);  // that nothing supersedes
std::set<std::uint64_t> left_devices(std::span<const Entry> entries);  // replaced, or at rest
bool at_rest(std::span<const Entry> entries, std::uint64_t device);
void leave_out(std::vector<Seen>& seen, std::span<const Entry> entries);
// Supersedes what stands of the device.
NewEntry lay_to_rest(std::span<const Entry> entries, std::uint64_t device, const std::string& name);
// It has come by again; nullopt: it is not at rest.
std::optional<NewEntry> back_from_rest(std::span<const Entry> entries, std::uint64_t device);

}  // namespace restand
