#pragma once
// Runs the app state's tasks (app/task.h): short ones on the writer's thread, those that take long beside it
// (session_work.h).

#include <string>

#include "app/task.h"
#include "app/task_result.h"
#include "platform/store_calls.h"

namespace restand {

// Where this device keeps and looks for files.
struct TaskFolders {
    std::string workshop;                 // the file that is open
    std::string copies;                   // folder of its backups
    std::string rejected;                    // folder for entries its disk refused; made when needed
    std::string documents;                // where a person looks for written files
    std::string host;                     // this machine's name, until somebody names the device
};
TaskFolders task_folders(const std::string& workshop);

// A short task. `now_ms`: Unix time; offset: minutes east of UTC. Error in_use: a task that is not done here.
Result<TaskResult> run(const Task& task, Store& store, const TaskFolders& places, std::int64_t now_ms,
                       int utc_offset_min);

// Does it take long: an exchange, an import, what a plot needs?
bool takes_long(const Task& task);
// Such a task. A call to the store reads 500 rows or merges 100 entries at most, but for opening(), which is
// one call: it reads what the app loads at start (Store::opening()), however many entries that is. An import
// or an exchange that stops or fails when some entries are in returns them (task_result::Entries, with what
// happened). Error cancelled: nothing was changed.
Result<TaskResult> run_long(const Task& task, const StoreCalls& store, const TaskFolders& places,
                            std::int64_t now_ms, int utc_offset_min, Progress& progress);

}  // namespace restand
