// Long work in a browser (platform/session_work.h): a page has one thread, so a task runs as one request to the
// writer. Its result comes when the browser has stored what it changed. The page stands still meanwhile.

#include "platform/session_work.h"

#include "core/store/thrown.h"
#include "core/store/wall.h"
#include "platform/web/storage.h"

namespace restand {

struct LongWork::Impl {
    TaskFolders places;
    Writer& writer;
    std::function<void()> wake;
    std::vector<Came> finished;
    std::vector<std::shared_ptr<Progress>> asked;  // not collected yet
    bool stopping = false;
    // What the browser calls later looks here first: this object may be gone by then.
    std::shared_ptr<Impl*> self{};
};

LongWork::LongWork(const TaskFolders& places, Writer& writer, std::function<void()> wake)
    : impl_(std::make_unique<Impl>(Impl{places, writer, std::move(wake), {}, {}, false})) {
    impl_->self = std::make_shared<Impl*>(impl_.get());
}

LongWork::~LongWork() {
    give_up();
}

void LongWork::give_up() {
    impl_->stopping = true;
    for (const auto& progress : impl_->asked) progress->cancelled = true;
}

// The writer is gone before this object, or carries out the request before it goes.
void LongWork::ask(std::uint64_t job, Task task, int utc_offset_min, std::shared_ptr<Progress> progress) {
    impl_->asked.push_back(progress);
    impl_->writer.ask([impl = impl_.get(), places = impl_->places, progress, job, task = std::move(task),
                       utc_offset_min](Store& store) -> Result<std::vector<Entry>> {
        if (progress->cancelled && impl->stopping) return std::vector<Entry>{};
        std::optional<Result<TaskResult>> done;
        const StoreCalls calls([&](const std::function<void(Store&)>& wanted) -> Outcome {
            wanted(store);
            return Done{};
        });
        const auto thrown = thrown_by(places.workshop, [&] {
            done.emplace(run_long(task, calls, places, wall_ms(), utc_offset_min, *progress));
        });
        when_stored([self = std::weak_ptr(impl->self), job, progress,
                     result = thrown ? Result<TaskResult>(*thrown) : std::move(*done)] {
            const auto here = self.lock();
            if (!here) return;
            (*here)->finished.push_back({job, result});
            std::erase((*here)->asked, progress);
            if ((*here)->wake) (*here)->wake();
        });
        return std::vector<Entry>{};
    });
}

std::vector<LongWork::Came> LongWork::collect() {
    return std::exchange(impl_->finished, {});
}

bool LongWork::busy() const {
    return !impl_->asked.empty() || !impl_->finished.empty();
}

void LongWork::drain() {
    impl_->writer.drain();
}

}  // namespace restand
