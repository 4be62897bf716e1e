#pragma once
// Makes and lists the copies of the open workshop, beside what the person does.
//
//   writer's thread   takes the snapshot, in slices of some milliseconds while nothing else waits
//   thread of its own sends each slice to the disk, so that no heap of it holds up the next reading's sync; looks which
//                     copies there are, checks the snapshot, hashes it, puts it in place, deletes old ones
//
// Given up by give_up() or the destructor; the next start finds the copy due, and begins it anew.

#include <functional>
#include <memory>
#include <vector>

#include "core/quantity/progress.h"
#include "core/store/writer.h"
#include "platform/tasks.h"

namespace restand {

class WorkshopCopies {
public:
    // `writer` outlives it, or give_up() comes before its end. `wake` is called from the threads above when something
    // has come. `legible`: `device` is what the workshop file says; else the copies of no device are another's.
    WorkshopCopies(const TaskFolders& places, std::uint64_t device, bool legible, Writer& writer,
                   std::function<void()> wake);
    ~WorkshopCopies();   // waits for its thread: some tenths of a second while SQLite looks at a large file's structure
    WorkshopCopies(const WorkshopCopies&) = delete;
    WorkshopCopies& operator=(const WorkshopCopies&) = delete;

    void give_up();      // nothing is asked of the writer any more; not waited for

    void make_when_due(bool at_start);
    void make(std::uint64_t job, std::shared_ptr<Progress> progress);
    void list(std::uint64_t job);

    struct Came { std::uint64_t job; Result<TaskResult> task_result; };   // job 0: nobody asked for it
    std::vector<Came> collect();
    bool asked_for() const;    // is a person's wish under way or not yet collected?
    void drain();              // waits for all of it, also for what nobody asked for

private:
    struct Impl;
    std::unique_ptr<Impl> impl_;
};

}  // namespace restand
