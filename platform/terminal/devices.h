#pragma once
// Who this device is, and which others its workshop knows of: from the entries of kind "device".

#include <map>
#include <span>
#include <string>

#include "core/sync/sync_bundle.h"
#include "core/ledger/device_hex.h"
#include "core/store/store.h"
#include "core/store/wall.h"

namespace restand {

// Names by incarnation, of a workshop as it opens; those that only wrote entries and never said their name are not in it.
using DeviceNames = std::map<std::uint64_t, std::string>;
DeviceNames device_names(std::span<const Entry> opening);
// Whatever one can call an incarnation: its name, else its number.
std::string device_name(const DeviceNames& devices, std::uint64_t incarnation);

std::string host_name();                             // "this device" where the system has none
// As this device introduces itself: its name, else the host's.
Result<Sender> sender_of(const Store& store);
// Who was laid to rest and is here all the same says so.
Outcome come_back(Store& store);
// Writes a name for this incarnation where there is none yet, or that it is back from rest. `follows`: the one it was restored from, or 0.
Outcome name_device(Store& store, const std::string& name, std::uint64_t follows = 0);

}  // namespace restand
