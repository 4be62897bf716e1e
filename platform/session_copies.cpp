#include "platform/session_copies.h"

#include <algorithm>
#include <chrono>
#include <condition_variable>
#include <deque>
#include <filesystem>
#include <mutex>
#include <thread>

#include "core/store/backup.h"
#include "core/store/copy.h"
#include "core/store/snapshot.h"
#include "core/store/thrown.h"
#include "core/store/wall.h"
#include "platform/copy_results.h"
#include "platform/system.h"

namespace restand {
namespace {

constexpr std::chrono::milliseconds slice_ms{4};  // the longest wait of a reading requested meanwhile

}  // namespace

// A snapshot in progress: the writer's thread takes a slice at each request, the other thread waits for it.
class Taking {
public:
    using Due = std::function<bool(std::uint64_t entries)>;
    enum class Step { more, done, none_due };
    Taking(std::string part, Due due) : part_(std::move(part)), due_(std::move(due)) {}

    // On the writer's thread.
    void slice(Store& store) {
        const std::lock_guard lock(mutex_);
        if (dropped_) return;
        if (const auto thrown = thrown_by(part_, [&] { ended_ = take(store); })) {
            snapshot_.reset();
            ended_ = *thrown;
        }
        changed_.notify_all();
    }
    // On the other thread: waits for the slice; cancelled when it is dropped or does not come.
    Result<Step> wait(const Progress& progress) {
        std::unique_lock lock(mutex_);
        constexpr std::chrono::milliseconds look_every{20};
        while (!changed_.wait_for(lock, look_every, [&] { return ended_ || dropped_; }))
            if (progress.cancelled) dropped_ = true;
        const Error given_up{ErrorCode::cancelled, part_, ""};
        Result<Step> step = ended_ && !dropped_ ? std::move(*ended_) : Result<Step>(given_up);
        ended_.reset();
        return step;
    }
    void drop() {
        const std::lock_guard lock(mutex_);
        dropped_ = true;
        snapshot_.reset();
        changed_.notify_all();
    }

private:
    Result<Step> take(const Store& store) {
        if (!snapshot_) {
            const auto entries = Snapshot::entries_in(store);
            if (!entries) return entries.error();
            if (!due_(*entries)) return Step::none_due;
            auto begun = Snapshot::begin(store, part_);
            if (!begun) return begun.error();
            snapshot_.emplace(std::move(*begun));
            return Step::more;
        }
        const auto stepped = snapshot_->step(slice_ms);
        if (stepped && !*stepped) return Step::more;
        snapshot_.reset();
        if (!stepped) return stepped.error();
        return Step::done;
    }

    const std::string part_;
    const Due due_;
    std::mutex mutex_;
    std::condition_variable changed_;
    std::optional<Result<Step>> ended_;
    std::optional<Snapshot> snapshot_;
    bool dropped_ = false;  // nobody waits any more
};

struct WorkshopCopies::Impl {
    struct Task {
        enum class What { make_at_start, make_between, make, list } what;
        std::uint64_t job = 0;
        std::shared_ptr<Progress> progress = std::make_shared<Progress>();
    };

    Impl(const TaskFolders& p, std::uint64_t d, bool l, Writer& w, std::function<void()> wake_up)
        : places(p), device(d), legible(l), writer(w), wake(std::move(wake_up)), thread([this] { work(); }) {}

    void ask(Task task);
    void work();
    void carry_out(const Task& task);
    void list(const Task& task);
    // nullopt: none is due.
    std::optional<Result<Backup>> make(const Task& task);
    Result<bool> take(const Task& task, const std::string& part, Taking::Due due);
    bool wanted(const Task& task) const;
    void report(const Task& task, const Result<Backup>& made);
    CopiesOf copies() const { return {places, device, legible}; }
    void came(std::uint64_t job, Result<TaskResult> task_result);

    const TaskFolders places;
    const std::uint64_t device;
    const bool legible;
    Writer& writer;
    std::function<void()> wake;
    mutable std::mutex mutex;
    std::condition_variable more, rest;
    std::deque<Task> tasks;
    std::shared_ptr<Progress> under_way;
    std::shared_ptr<Taking> taking;
    std::vector<Came> finished;
    std::uint64_t asked = 0;  // requested by a person, not collected yet
    bool stopping = false;
    std::thread thread;  // declared last: it uses all the others
};

void WorkshopCopies::Impl::ask(Task task) {
    const std::lock_guard lock(mutex);
    if (task.job != 0) ++asked;
    tasks.push_back(std::move(task));
    more.notify_one();
}

void WorkshopCopies::Impl::work() {
    yield_to_others();
    std::unique_lock lock(mutex);
    for (;;) {
        more.wait(lock, [this] { return stopping || !tasks.empty(); });
        if (stopping) return;
        const Task task = std::move(tasks.front());
        tasks.pop_front();
        under_way = task.progress;
        lock.unlock();
        carry_out(task);
        lock.lock();
        under_way.reset();
        if (tasks.empty()) rest.notify_all();
    }
}

void WorkshopCopies::Impl::came(std::uint64_t job, Result<TaskResult> task_result) {
    {
        const std::lock_guard lock(mutex);
        finished.push_back({job, std::move(task_result)});
    }
    if (wake) wake();
}

void WorkshopCopies::Impl::carry_out(const Task& task) {
    const bool lists = task.what == Task::What::list;
    const auto thrown = thrown_by(places.copies, [&] {
        if (lists) return list(task);
        if (const auto made = make(task)) report(task, *made);
    });
    if (!thrown) return;
    if (lists) return came(task.job, *thrown);
    report(task, Result<Backup>(*thrown));
}

// Reports what the sum files say first; then reads each copy through, which takes as long as the disk needs.
void WorkshopCopies::Impl::list(const Task& task) {
    auto by_sums = listed_copies(copies(), false, "", task.progress.get());
    const bool good = by_sums.has_value();
    if (good) came(0, std::move(by_sums));
    came(task.job, listed_copies(copies(), true, "", task.progress.get()));
}

std::optional<Result<Backup>> WorkshopCopies::Impl::make(const Task& task) {
    Taking::Due due = [](std::uint64_t) { return true; };
    if (task.what != Task::What::make) {
        auto there = own_copies(copies(), task.progress.get());
        if (!there) return Result<Backup>(there.error());
        const bool at_start = task.what == Task::What::make_at_start;
        due = [there = std::move(*there), at_start](std::uint64_t entries) {
            return entries > 0 && backup_due(there, entries, at_start);
        };
    }
    const auto begun = begin_copy(places.copies, places.workshop, device);
    // Another program's copy of this workshop is sufficient.
    if (!begun && begun.error().code == ErrorCode::in_use && task.job == 0) return std::nullopt;
    if (!begun) return Result<Backup>(begun.error());
    const PartFile gone_after(begun->part);
    auto taken = take(task, begun->part, due);
    // The store reopened its file meanwhile, after trouble with the disk: nobody cancelled the copy.
    for (int tries = 2; tries > 0 && !taken && taken.error().code == ErrorCode::cancelled && wanted(task);
         --tries) {
        const PartFile of_the_last_try(begun->part);
        taken = take(task, begun->part, due);
    }
    if (!taken) return Result<Backup>(taken.error());
    if (!*taken) return std::nullopt;
    return finish_copy(*begun, places.workshop, device, wall_ms(), task.progress.get());
}

bool WorkshopCopies::Impl::wanted(const Task& task) const {
    const std::lock_guard lock(mutex);
    return !stopping && !task.progress->cancelled;
}

// After each slice its data is synced to the disk, on this thread: unwritten data left to the system would
// delay the sync of whatever the writer stores next, for seconds.
Result<bool> WorkshopCopies::Impl::take(const Task& task, const std::string& part, Taking::Due due) {
    const auto here = std::make_shared<Taking>(part, std::move(due));
    {
        const std::lock_guard lock(mutex);
        if (stopping) return Error{ErrorCode::cancelled, part, ""};
        taking = here;
    }
    std::uint64_t synced = 0;
    for (;;) {
        {
            const std::lock_guard lock(mutex);
            if (!stopping) writer.in_between([here](Store& store) { here->slice(store); });
        }
        const auto step = here->wait(*task.progress);
        if (step && *step == Taking::Step::more) {
            write_back(part, synced);
            continue;
        }
        here->drop();
        if (!step) return step.error();
        return *step == Taking::Step::done;
    }
}

void WorkshopCopies::Impl::report(const Task& task, const Result<Backup>& made) {
    if (!made && made.error().code == ErrorCode::cancelled) {
        if (task.job != 0) came(task.job, made.error());
        return;
    }
    came(0, TaskResult{task_result::CopyState{copy_trouble(made)}});
    if (task.job == 0) {
        if (made) came(0, listed_copies(copies(), false, "", task.progress.get()));
        return;
    }
    if (!made) return came(task.job, made.error());
    came(task.job, listed_copies(copies(), false, made->good ? "A copy was made and checked." : "",
                                 task.progress.get()));
}

WorkshopCopies::WorkshopCopies(const TaskFolders& places, std::uint64_t device, bool legible, Writer& writer,
                               std::function<void()> wake)
    : impl_(std::make_unique<Impl>(places, device, legible, writer, std::move(wake))) {}

void WorkshopCopies::give_up() {
    const std::lock_guard lock(impl_->mutex);
    impl_->stopping = true;
    if (impl_->under_way) impl_->under_way->cancelled = true;
    if (impl_->taking) impl_->taking->drop();
    impl_->more.notify_all();
}

WorkshopCopies::~WorkshopCopies() {
    give_up();
    impl_->thread.join();
}

void WorkshopCopies::make_when_due(bool at_start) {
    impl_->ask({at_start ? Impl::Task::What::make_at_start : Impl::Task::What::make_between});
}

void WorkshopCopies::make(std::uint64_t job, std::shared_ptr<Progress> progress) {
    impl_->ask({Impl::Task::What::make, job, std::move(progress)});
}

void WorkshopCopies::list(std::uint64_t job) {
    impl_->ask({Impl::Task::What::list, job});
}

std::vector<WorkshopCopies::Came> WorkshopCopies::collect() {
    const std::lock_guard lock(impl_->mutex);
    for (const Came& one : impl_->finished)
        if (one.job != 0) --impl_->asked;
    return std::exchange(impl_->finished, {});
}

bool WorkshopCopies::asked_for() const {
    const std::lock_guard lock(impl_->mutex);
    return impl_->asked > 0;
}

void WorkshopCopies::drain() {
    std::unique_lock lock(impl_->mutex);
    impl_->rest.wait(lock, [this] { return impl_->tasks.empty() && !impl_->under_way; });
}

}  // namespace restand
