#pragma once
// What a person is told of the workshop's backups: their list, and what is wrong with one that was just made.

#include <cstdint>
#include <string>
#include <vector>

#include "app/task_result.h"
#include "core/quantity/progress.h"
#include "core/store/backup.h"
#include "platform/tasks.h"

namespace restand {

// The backups of the workshop that this device has open. `legible`: `device` is what the workshop file says;
// otherwise the copies of no device count as another's.
struct CopiesOf { const TaskFolders& places; std::uint64_t device; bool legible; };

// All of them, and a sentence about what was done. `whole`: as backups().
Result<TaskResult> listed_copies(const CopiesOf& of, bool whole, std::string said,
                                 Progress* progress = nullptr);
// Those that this device made; size and sum file are trusted.
Result<std::vector<Backup>> own_copies(const CopiesOf& of, Progress* progress = nullptr);

// What a person must know of a backup just made, or not made, and can do. Empty: nothing; a good copy clears
// what was said before.
std::string copy_trouble(const Result<Backup>& made);

}  // namespace restand
