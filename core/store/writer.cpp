#include "core/store/writer.h"

#include <condition_variable>
#include <deque>
#include <mutex>
#include <thread>

#include "core/store/thrown.h"

namespace restand {

struct Writer::Impl {
    struct Job {
        Ticket ticket;
        Ask ask;
    };

    Impl(Store s, std::function<void()> d)
        : store(std::move(s)), done(std::move(d)), thread([this] { work(); }) {}

    void work();
    // An exception (no memory, a broken invariant) is handled like a refusal by the disk: the thread
    // continues.
    template <class Call>
    std::optional<Error> guarded(Call call);
    Result<std::vector<Entry>> carry_out(const Ask& ask);
    void run_slice(std::unique_lock<std::mutex>& lock);
    // Entries before the draft: finished entries matter more than half-typed text.
    bool idle() const { return jobs.empty() && !draft; }

    Store store;
    Slice slice;  // requested, not begun; declared after the store: destroyed before it
    std::function<void()> done;
    mutable std::mutex mutex;
    std::condition_variable wake, rest;
    std::deque<Job> jobs;
    std::optional<std::string> draft;
    std::vector<Written> finished;
    std::uint64_t tickets = 0;
    bool busy = false, stopping = false;
    std::thread thread;  // declared last: it uses all the others
};

template <class Call>
std::optional<Error> Writer::Impl::guarded(Call call) {
    auto error = thrown_by(store.path(), call);
    if (error) store.close_after_exception();
    return error;
}

Result<std::vector<Entry>> Writer::Impl::carry_out(const Ask& ask) {
    std::optional<Result<std::vector<Entry>>> written;
    if (auto error = guarded([&] { written.emplace(ask(store)); })) return *error;
    return std::move(*written);
}

// Not 'busy': drain() does not wait for it, and requests made meanwhile wait for one slice.
void Writer::Impl::run_slice(std::unique_lock<std::mutex>& lock) {
    Slice next = std::exchange(slice, nullptr);
    lock.unlock();
    // A slice that throws reports to its own caller; the store continues here.
    (void)guarded([&] { next(store); });
    next = nullptr;
    lock.lock();
}

void Writer::Impl::work() {
    std::unique_lock lock(mutex);
    for (;;) {
        wake.wait(lock, [this] { return stopping || !idle() || slice; });
        // When stopping, too, it ends only when all requests are on disk.
        if (idle() && stopping) return;
        if (idle()) {
            run_slice(lock);
            continue;
        }
        busy = true;
        if (!jobs.empty()) {
            Job job = std::move(jobs.front());
            jobs.pop_front();
            // Waits for the disk without the lock, so that asking and collecting never wait.
            lock.unlock();
            auto written = carry_out(job.ask);
            lock.lock();
            finished.push_back({job.ticket, std::move(written)});
            busy = false;
            lock.unlock();
            if (done) done();
            lock.lock();
        } else {
            const std::string bytes = std::move(*draft);
            draft.reset();
            lock.unlock();
            // A lost draft loses typing, not a reading; the next draft tries again.
            (void)guarded([&] { (void)store.keep_draft(bytes); });
            lock.lock();
            busy = false;
        }
        if (idle()) rest.notify_all();
    }
}

Writer::Writer(Store store, std::function<void()> done)
    : impl_(std::make_unique<Impl>(std::move(store), std::move(done))) {}

Writer::~Writer() {
    {
        const std::lock_guard lock(impl_->mutex);
        impl_->stopping = true;
    }
    impl_->wake.notify_one();
    impl_->thread.join();
}

Ticket Writer::append(std::vector<NewEntry> entries) {
    return ask([entries = std::move(entries)](Store& store) { return store.append_all(entries); });
}

Ticket Writer::ask(Ask ask) {
    const std::lock_guard lock(impl_->mutex);
    const Ticket ticket{++impl_->tickets};
    impl_->jobs.push_back({ticket, std::move(ask)});
    impl_->wake.notify_one();
    return ticket;
}

void Writer::keep_draft(std::string bytes) {
    const std::lock_guard lock(impl_->mutex);
    impl_->draft = std::move(bytes);
    impl_->wake.notify_one();
}

void Writer::in_between(Slice slice) {
    const std::lock_guard lock(impl_->mutex);
    impl_->slice = std::move(slice);
    impl_->wake.notify_one();
}

std::vector<Written> Writer::collect() {
    const std::lock_guard lock(impl_->mutex);
    return std::exchange(impl_->finished, {});
}

void Writer::drain() {
    std::unique_lock lock(impl_->mutex);
    impl_->rest.wait(lock, [this] { return impl_->idle() && !impl_->busy; });
}

std::size_t Writer::waiting() const {
    const std::lock_guard lock(impl_->mutex);
    return impl_->jobs.size() + (impl_->draft ? 1 : 0) + (impl_->busy ? 1 : 0);
}

}  // namespace restand
