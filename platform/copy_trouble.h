#pragma once
// What a person must know of a backup that was just made, or was not.

#include <string>

#include "core/store/backup.h"

namespace restand {

// Empty: nothing; a good copy clears what was said before.
std::string copy_trouble(const Result<Backup>& made);

}  // namespace restand
