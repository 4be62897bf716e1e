#pragma once
// Runs the app state's tasks (app/task.h) on the writer's thread, one after the other, with the store.

#include <string>

#include "app/task.h"
#include "core/store/store.h"

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

// Every task but the restore, which needs the store closed. `now_ms`: Unix time; offset: minutes east of UTC.
Result<TaskResult> run(const Task& task, Store& store, const TaskFolders& places, std::int64_t now_ms,
                 int utc_offset_min, Progress& progress);

}  // namespace restand
