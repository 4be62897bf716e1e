#pragma once
// The identity of this device, and the other devices its workshop knows: from the entries of kind "device".

#include <map>
#include <span>
#include <string>

#include "core/sync/sync_bundle.h"
#include "core/ledger/device_hex.h"
#include "core/store/store.h"
#include "core/store/wall.h"
#include "platform/terminal/request.h"

namespace restand {

// Names by incarnation, of a workshop as it opens; incarnations that wrote entries but no name are not
// included.
using DeviceNames = std::map<std::uint64_t, std::string>;
DeviceNames device_names(std::span<const Entry> opening);
// How messages call an incarnation: its name, else its number.
std::string device_name(const DeviceNames& devices, std::uint64_t incarnation);

// The name this device gives itself: its name, else the host's.
Result<Sender> sender_of(const Store& store);
// A device that was retired but is in use again says so.
Outcome come_back(Store& store);
// Writes a name for this incarnation if it has none yet, or that it is in use again. `follows`: the
// incarnation it was restored from, or 0.
Outcome name_device(Store& store, const std::string& name, std::uint64_t follows = 0);

int devices(const Request& request, std::ostream& out, std::ostream& err);
int retire(const Request& request, std::ostream& out, std::ostream& err);

}  // namespace restand
