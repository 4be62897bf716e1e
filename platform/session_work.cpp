#include "platform/session_work.h"

#include <condition_variable>
#include <deque>
#include <future>
#include <mutex>
#include <thread>

#include "core/store/thrown.h"
#include "core/store/wall.h"

namespace restand {

struct LongWork::Impl {
    struct Asked {
        std::uint64_t job = 0;
        Task task;
        int utc_offset_min = 0;
        std::shared_ptr<Progress> progress;
    };

    Impl(const TaskFolders& p, Writer& w, std::function<void()> wake_up)
        : places(p), writer(w), wake(std::move(wake_up)), thread([this] { work(); }) {}

    void work();
    Result<TaskResult> carry_out(const Asked& asked);
    Outcome call(const std::function<void(Store&)>& wanted);

    const TaskFolders places;
    Writer& writer;
    std::function<void()> wake;
    mutable std::mutex mutex;
    std::condition_variable more, idle;
    std::deque<Asked> asked;
    std::shared_ptr<Progress> under_way;
    std::vector<Came> finished;
    bool stopping = false;
    std::thread thread;  // declared last: it uses all the others
};

void LongWork::Impl::work() {
    std::unique_lock lock(mutex);
    for (;;) {
        more.wait(lock, [this] { return stopping || !asked.empty(); });
        if (stopping) return;
        const Asked next = std::move(asked.front());
        asked.pop_front();
        under_way = next.progress;
        lock.unlock();
        auto done = carry_out(next);
        lock.lock();
        under_way.reset();
        finished.push_back({next.job, std::move(done)});
        if (asked.empty()) idle.notify_all();
        lock.unlock();
        if (wake) wake();
        lock.lock();
    }
}

Result<TaskResult> LongWork::Impl::carry_out(const Asked& one) {
    std::optional<Result<TaskResult>> done;
    const auto thrown = thrown_by(places.workshop, [&] {
        const StoreCalls calls([this](const std::function<void(Store&)>& wanted) { return call(wanted); });
        done.emplace(run_long(one.task, calls, places, wall_ms(), one.utc_offset_min, *one.progress));
    });
    if (thrown) return *thrown;
    return std::move(*done);
}

// The writer carries out every request before it ends, so the wait ends too. The promise belongs to the
// request: if that throws before it has answered, the promise goes with it, and the wait ends in an exception.
Outcome LongWork::Impl::call(const std::function<void(Store&)>& wanted) {
    auto answer = std::make_shared<std::promise<std::optional<Error>>>();
    auto answered = answer->get_future();
    {
        const std::lock_guard lock(mutex);
        if (stopping) return Error{ErrorCode::cancelled, places.workshop, ""};
        writer.ask([answer = std::move(answer), &wanted](Store& store) -> Result<std::vector<Entry>> {
            auto thrown = thrown_by(store.path(), [&] { wanted(store); });
            if (thrown) store.close_after_exception();
            answer->set_value(std::move(thrown));
            return std::vector<Entry>{};
        });
    }
    if (const auto thrown = answered.get()) return *thrown;
    return Done{};
}

LongWork::LongWork(const TaskFolders& places, Writer& writer, std::function<void()> wake)
    : impl_(std::make_unique<Impl>(places, writer, std::move(wake))) {}

void LongWork::give_up() {
    const std::lock_guard lock(impl_->mutex);
    impl_->stopping = true;
    if (impl_->under_way) impl_->under_way->cancelled = true;
    impl_->more.notify_all();
}

LongWork::~LongWork() {
    give_up();
    impl_->thread.join();
}

void LongWork::ask(std::uint64_t job, Task task, int utc_offset_min, std::shared_ptr<Progress> progress) {
    const std::lock_guard lock(impl_->mutex);
    impl_->asked.push_back({job, std::move(task), utc_offset_min, std::move(progress)});
    impl_->more.notify_one();
}

std::vector<LongWork::Came> LongWork::collect() {
    const std::lock_guard lock(impl_->mutex);
    return std::exchange(impl_->finished, {});
}

bool LongWork::busy() const {
    const std::lock_guard lock(impl_->mutex);
    return !impl_->asked.empty() || impl_->under_way || !impl_->finished.empty();
}

void LongWork::drain() {
    std::unique_lock lock(impl_->mutex);
    impl_->idle.wait(lock, [this] { return impl_->asked.empty() && !impl_->under_way; });
}

}  // namespace restand
