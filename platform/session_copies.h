#pragma once
// Makes and lists the backups of the open workshop, in the background.
//
//   writer's thread   takes the snapshot, in slices of some milliseconds while nothing else waits
//   its own thread    syncs each slice to the disk, so that unwritten data does not delay the next
//                     reading's sync; lists the existing copies; checks the snapshot, hashes it, puts it
//                     in place, deletes old ones
//
// Stopped by give_up() or the destructor; the next start finds the copy due, and starts it again.

#include <functional>
#include <memory>
#include <vector>

#include "app/task_result.h"
#include "core/quantity/progress.h"
#include "core/store/writer.h"
#include "platform/tasks.h"

namespace restand {

class WorkshopCopies {
public:
    // `writer` must outlive it, or give_up() is called before the writer ends. `wake` is called from the
    // threads above when a result has arrived. `legible`: `device` is what the workshop file says; otherwise
    // the copies of no device count as another's.
    WorkshopCopies(const TaskFolders& places, std::uint64_t device, bool legible, Writer& writer,
                   std::function<void()> wake);
    // Waits for its thread: some tenths of a second while SQLite looks at a large file's structure
    ~WorkshopCopies();
    WorkshopCopies(const WorkshopCopies&) = delete;
    WorkshopCopies& operator=(const WorkshopCopies&) = delete;

    void give_up();      // sends no more requests to the writer; does not wait

    void make_when_due(bool at_start);
    void make(std::uint64_t job, std::shared_ptr<Progress> progress);
    void list(std::uint64_t job);

    struct Came { std::uint64_t job; Result<TaskResult> task_result; };   // job 0: a background copy
    std::vector<Came> collect();
    bool asked_for() const;    // is a person's request running or not yet collected?
    void drain();              // waits for all work, including background copies

private:
    struct Impl;
    std::unique_ptr<Impl> impl_;
};

}  // namespace restand
