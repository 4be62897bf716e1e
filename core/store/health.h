#pragma once
// Inside core/store only.

#include "core/quantity/progress.h"
#include "core/store/store.h"

namespace restand {

// As Store::check() of a file that nothing else has open; opened for reading. Error cancelled.
Result<Health> check_file(const std::string& path, Progress* progress);

}  // namespace restand
