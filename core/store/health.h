#pragma once
// Inside core/store only.

#include "core/quantity/progress.h"
#include "core/store/store.h"

namespace restand {

inline constexpr std::size_t most_found = 100;  // entries in Health::found

// As Store::check(), for a file that nothing else has open; it is opened for reading. Error cancelled.
// Without `words` the index of words is not checked: its damage harms no entry, and its check bounds the
// memory of the whole process.
Result<Health> check_file(const std::string& path, Progress* progress, bool words = true);

}  // namespace restand
