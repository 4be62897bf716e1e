#pragma once
// Entries that the workshop's disk refuses are kept in another folder until it accepts them
// (core/store/emergency.h).

#include <string>
#include <vector>

#include "core/store/store.h"

namespace restand {

// As Store::append_all(). If the disk refuses, the entries are kept in `folder`, and the error says where. If
// it accepts, they replace rejected entries of the same kind: the reading of the same field, the change of
// the same settings, the same words.
Result<std::vector<Entry>> append_or_keep_rejected(Store& store, const std::vector<NewEntry>& entries,
                                               const std::string& folder, std::int64_t now_ms);

}  // namespace restand
