#pragma once
// Runs tasks that take long (an exchange, an import, what a plot needs) on a thread of its own, one after the
// other. Each of their calls to the store is a request to the writer, so that readings and pages come
// between.

#include <functional>
#include <memory>
#include <vector>

#include "app/task.h"
#include "app/task_result.h"
#include "core/quantity/progress.h"
#include "core/store/writer.h"
#include "platform/tasks.h"

namespace restand {

class LongWork {
public:
    // `writer` must outlive it, or give_up() is called before the writer ends. `wake` is called from its
    // thread when a result has arrived.
    LongWork(const TaskFolders& places, Writer& writer, std::function<void()> wake);
    ~LongWork();   // waits for its thread
    LongWork(const LongWork&) = delete;
    LongWork& operator=(const LongWork&) = delete;

    void give_up();   // cancels, and sends no more requests to the writer; does not wait
    void ask(std::uint64_t job, Task task, int utc_offset_min, std::shared_ptr<Progress> progress);

    struct Came { std::uint64_t job; Result<TaskResult> task_result; };
    std::vector<Came> collect();
    bool busy() const;         // is anything asked for, or not yet collected?
    void drain();              // waits until all is ready to collect

private:
    struct Impl;
    std::unique_ptr<Impl> impl_;
};

}  // namespace restand
