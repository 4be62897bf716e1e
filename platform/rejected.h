#pragma once
// What the workshop's disk would not take is kept in another folder until it will (core/store/emergency.h).

#include <string>
#include <vector>

#include "core/store/store.h"

namespace restand {

// As Store::append_all(). Refused by the disk, the entries are kept aside in `folder`, and the error says where.
// Taken, they replace what was kept aside of the same: the reading of the same field, the change of the same
// settings, the same words.
Result<std::vector<Entry>> append_or_keep_rejected(Store& store, const std::vector<NewEntry>& entries,
                                               const std::string& folder, std::int64_t now_ms);

}  // namespace restand
