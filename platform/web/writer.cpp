// The writer in a browser (core/store/writer.h): a page has one thread, so requests run between two frames.
//
// 1. A request runs in a turn of its own of the browser's event loop: the frame that shows it as being saved is
//    drawn first.
// 2. A result counts as finished when the browser has stored the files it stands in (storage.h), not at COMMIT.
//    What runs meanwhile waits for the next time they are stored.
// 3. If the browser refuses, results stay unfinished: the page shows them as being saved and says why. It is tried
//    again, and the page offers the file.
//
// Threads would need a page that is isolated from all others by headers of its server. Any server of plain files
// shall do, and one reading costs a millisecond.

#include "core/store/writer.h"

#include <emscripten.h>

#include <deque>
#include <iterator>
#include <limits>

#include "core/store/thrown.h"
#include "platform/web/storage.h"

namespace restand {

namespace {
constexpr int at_once_ms = 0, again_ms = 2'000;
// Half-typed text is stored when typing pauses: storing costs more than a key.
constexpr int pause_ms = 300;
constexpr double batch_ms = 8;
constexpr double never = std::numeric_limits<double>::infinity();
}  // namespace

struct Writer::Impl {
    struct Job {
        Ticket ticket;
        Ask ask;
    };

    Impl(Store s, std::function<void()> d) : store(std::move(s)), done(std::move(d)) {}
    bool idle() const { return jobs.empty() && !draft; }
    void call_later(int after_ms);
    void turn();
    void carry_out_next();
    void store_now();
    void stored(const Outcome& outcome);
    template <class Call>
    std::optional<Error> guarded(Call call);

    Store store;
    Slice slice;  // declared after the store: destroyed before it
    std::function<void()> done;
    std::deque<Job> jobs;
    std::optional<std::string> draft;
    std::vector<Written> in_files;    // written, and not yet stored
    std::vector<Written> on_the_way;  // being stored
    std::vector<Written> finished;
    std::uint64_t tickets = 0;
    bool changed = false, storing = false, paused = false;
    double next_turn_ms = never;
    // What the browser calls later looks here first: the writer may be gone by then.
    std::shared_ptr<Impl*> self = std::make_shared<Impl*>(this);
};

template <class Call>
std::optional<Error> Writer::Impl::guarded(Call call) {
    auto error = thrown_by(store.path(), call);
    if (error) store.close_after_exception();
    return error;
}

void Writer::Impl::call_later(int after_ms) {
    const double at = emscripten_get_now() + after_ms;
    if (at >= next_turn_ms) return;
    next_turn_ms = at;
    const auto turn_of = [](void* of) {
        const std::unique_ptr<std::weak_ptr<Impl*>> weak(static_cast<std::weak_ptr<Impl*>*>(of));
        const auto self = weak->lock();
        if (!self) return;
        (*self)->next_turn_ms = never;
        (*self)->turn();
    };
    emscripten_async_call(turn_of, new std::weak_ptr<Impl*>(self), after_ms);
}

// Entries before the draft, the draft before a slice. Files are stored at once when somebody waits for it.
void Writer::Impl::turn() {
    if (storing) return;  // stored() goes on
    const bool pause = idle() && !slice;
    if (!idle()) {
        // What waits is carried out together and stored once, as long as no frame is late for it.
        const double until = emscripten_get_now() + batch_ms;
        do carry_out_next();
        while (!jobs.empty() && emscripten_get_now() < until);
        // The draft that came with an entry is stored with it: what was typed is not half typed any more.
        if (jobs.empty() && draft) carry_out_next();
    } else if (slice) {
        Slice next = std::exchange(slice, nullptr);
        (void)guarded([&] { next(store); });  // a slice that throws reports to its own caller
        changed = true;
    }
    const bool waited_for = !in_files.empty() || !on_the_way.empty();
    if (waited_for || (changed && pause && paused)) return store_now();
    paused = pause;
    if (!idle() || slice) return call_later(at_once_ms);
    if (changed) call_later(pause_ms);
}

void Writer::Impl::carry_out_next() {
    changed = true;
    if (jobs.empty()) {
        const std::string bytes = std::move(*draft);
        draft.reset();
        // A lost draft loses typing, not a reading; the next draft tries again.
        (void)guarded([&] { (void)store.keep_draft(bytes); });
        return;
    }
    Job job = std::move(jobs.front());
    jobs.pop_front();
    std::optional<Result<std::vector<Entry>>> written;
    const auto thrown = guarded([&] { written.emplace(job.ask(store)); });
    in_files.push_back({job.ticket, thrown ? Result<std::vector<Entry>>(*thrown) : std::move(*written)});
}

void Writer::Impl::store_now() {
    storing = true;
    changed = paused = false;
    std::move(in_files.begin(), in_files.end(), std::back_inserter(on_the_way));
    in_files.clear();
    store_files([weak = std::weak_ptr(self)](const Outcome& outcome) {
        if (const auto here = weak.lock()) (*here)->stored(outcome);
    });
}

void Writer::Impl::stored(const Outcome& outcome) {
    storing = false;
    show_storage_trouble(outcome ? "" : outcome.error().detail);
    if (!outcome) {
        changed = true;
        return call_later(again_ms);
    }
    const bool any = !on_the_way.empty();
    std::move(on_the_way.begin(), on_the_way.end(), std::back_inserter(finished));
    on_the_way.clear();
    if (any && done) done();
    if (changed || !idle() || slice) call_later(at_once_ms);
}

Writer::Writer(Store store, std::function<void()> done)
    : impl_(std::make_unique<Impl>(std::move(store), std::move(done))) {}

// The next writer stores what this one wrote last.
Writer::~Writer() {
    while (!impl_->idle()) impl_->carry_out_next();
}

Ticket Writer::append(std::vector<NewEntry> entries) {
    return ask([entries = std::move(entries)](Store& store) { return store.append_all(entries); });
}

Ticket Writer::ask(Ask ask) {
    const Ticket ticket{++impl_->tickets};
    impl_->jobs.push_back({ticket, std::move(ask)});
    impl_->call_later(at_once_ms);
    return ticket;
}

void Writer::keep_draft(std::string bytes) {
    impl_->draft = std::move(bytes);
    impl_->paused = false;
    impl_->call_later(at_once_ms);
}

void Writer::in_between(Slice slice) {
    impl_->slice = std::move(slice);
    impl_->call_later(at_once_ms);
}

std::vector<Written> Writer::collect() {
    return std::exchange(impl_->finished, {});
}

// A page cannot wait for the browser: before a workshop is closed, results count once they are in its files.
void Writer::drain() {
    while (!impl_->idle()) impl_->carry_out_next();
    for (auto* written : {&impl_->on_the_way, &impl_->in_files}) {
        std::move(written->begin(), written->end(), std::back_inserter(impl_->finished));
        written->clear();
    }
    impl_->changed = true;
    impl_->call_later(at_once_ms);
}

std::size_t Writer::waiting() const {
    return impl_->jobs.size() + (impl_->draft ? 1 : 0) + impl_->in_files.size() + impl_->on_the_way.size();
}

}  // namespace restand
