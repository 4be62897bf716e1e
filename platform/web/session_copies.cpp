// Copies of the workshop in a browser (platform/session_copies.h): a page has one thread, so a copy is made and
// checked in one request to the writer.

#include "platform/session_copies.h"

#include "core/store/backup.h"
#include "core/store/snapshot.h"
#include "core/store/thrown.h"
#include "core/store/wall.h"
#include "platform/copy_results.h"
#include "platform/web/storage.h"

namespace restand {

struct WorkshopCopies::Impl {
    TaskFolders places;
    std::uint64_t device;
    bool legible;
    Writer& writer;
    std::function<void()> wake;
    std::vector<Came> finished;
    std::uint64_t asked = 0;  // requested by a person, not collected yet
    bool stopping = false;
    // What the browser calls later looks here first: this object may be gone by then.
    std::shared_ptr<Impl*> self{};

    void ask(std::uint64_t job, std::function<Result<TaskResult>(Store&)> work);
    CopiesOf copies() const { return {places, device, legible}; }
    Result<TaskResult> made(Store& store, Progress* progress, std::string said);
    void came(std::uint64_t job, Result<TaskResult> task_result);
};

void WorkshopCopies::Impl::came(std::uint64_t job, Result<TaskResult> task_result) {
    // The list that a copy made by itself brings is for a page that may not be there; its trouble is said apart.
    if (job == 0 && !task_result) return;
    when_stored([here = std::weak_ptr(self), job, result = std::move(task_result)] {
        const auto impl = here.lock();
        if (!impl) return;
        (*impl)->finished.push_back({job, result});
        if ((*impl)->wake) (*impl)->wake();
    });
}

// Makes one, and lists what there is then.
Result<TaskResult> WorkshopCopies::Impl::made(Store& store, Progress* progress, std::string said) {
    const auto copy = back_up(store, places.copies, wall_ms(), progress);
    if (!copy && copy.error().code == ErrorCode::cancelled) return copy.error();
    came(0, TaskResult{task_result::CopyState{copy_trouble(copy)}});
    if (!copy) return copy.error();
    return listed_copies(copies(), false, copy->good ? std::move(said) : "");
}

// The writer is gone before this object, or carries out the request before it goes.
void WorkshopCopies::Impl::ask(std::uint64_t job, std::function<Result<TaskResult>(Store&)> work) {
    if (job != 0) ++asked;
    writer.ask([this, job, work = std::move(work)](Store& store) -> Result<std::vector<Entry>> {
        if (stopping) return std::vector<Entry>{};
        std::optional<Result<TaskResult>> done;
        const auto thrown = thrown_by(places.copies, [&] { done.emplace(work(store)); });
        came(job, thrown ? Result<TaskResult>(*thrown) : std::move(*done));
        return std::vector<Entry>{};
    });
}

WorkshopCopies::WorkshopCopies(const TaskFolders& places, std::uint64_t device, bool legible, Writer& writer,
                               std::function<void()> wake)
    : impl_(std::make_unique<Impl>(Impl{places, device, legible, writer, std::move(wake), {}, 0, false})) {
    impl_->self = std::make_shared<Impl*>(impl_.get());
}

WorkshopCopies::~WorkshopCopies() {
    give_up();
}

void WorkshopCopies::give_up() {
    impl_->stopping = true;
}

void WorkshopCopies::make_when_due(bool at_start) {
    impl_->ask(0, [impl = impl_.get(), at_start](Store& store) -> Result<TaskResult> {
        const auto there = own_copies(impl->copies());
        if (!there) return there.error();
        const auto entries = Snapshot::entries_in(store);
        if (!entries) return entries.error();
        if (*entries == 0 || !backup_due(*there, *entries, at_start))
            return listed_copies(impl->copies(), false, "");
        return impl->made(store, nullptr, "");
    });
}

void WorkshopCopies::make(std::uint64_t job, std::shared_ptr<Progress> progress) {
    impl_->ask(job, [impl = impl_.get(), progress](Store& store) {
        return impl->made(store, progress.get(), "A copy was made and checked.");
    });
}

void WorkshopCopies::list(std::uint64_t job) {
    impl_->ask(job, [impl = impl_.get()](Store&) { return listed_copies(impl->copies(), true, ""); });
}

std::vector<WorkshopCopies::Came> WorkshopCopies::collect() {
    for (const Came& one : impl_->finished)
        if (one.job != 0) --impl_->asked;
    return std::exchange(impl_->finished, {});
}

bool WorkshopCopies::asked_for() const {
    return impl_->asked > 0;
}

void WorkshopCopies::drain() {
    impl_->writer.drain();
}

}  // namespace restand
