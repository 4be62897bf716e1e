#pragma once
// Runs the app state's tasks (app/task.h): short ones on the writer's thread, those that take long beside it
// (session_work.h).

#include <string>

#include "app/task.h"
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
// Such a task. Its calls to the store are short. Error cancelled: what an exchange or an import has merged by
// then stays in the store.
Result<TaskResult> run_long(const Task& task, const StoreCalls& store, const TaskFolders& places,
                            std::int64_t now_ms, int utc_offset_min, Progress& progress);

}  // namespace restand
