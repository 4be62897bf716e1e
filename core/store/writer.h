#pragma once
// Puts entries on disk off the frame's thread. Results are on disk when they are returned, in the order of
// the requests. The destructor finishes all requests. A request that throws is refused (io, detail: the
// exception's text); the thread continues.

#include <functional>
#include <memory>
#include <variant>

#include "core/store/store.h"

namespace restand {

struct Ticket { std::uint64_t value = 0; };
struct Written {
    Ticket ticket;
    Result<std::vector<Entry>> entries;
};

class Writer {
public:
    // `done` is called on the writer's thread after each result is ready (to wake the main loop); may be
    // empty.
    Writer(Store store, std::function<void()> done);
    ~Writer();
    using Ask = std::function<Result<std::vector<Entry>>(Store&)>;
    Ticket append(std::vector<NewEntry> entries);   // one transaction
    Ticket ask(Ask ask);                            // any other store call, queued in order
    void keep_draft(std::string bytes);             // only the newest waiting draft is written
    // A short slice of long work, run when nothing else waits. A new one replaces one that has not begun; the
    // destructor drops it.
    using Slice = std::function<void(Store&)>;
    void in_between(Slice slice);
    std::vector<Written> collect();                 // what has finished since; never blocks
    void drain();                                   // blocks until the queue is empty; tests and shutdown
    std::size_t waiting() const;

private:
    struct Impl;
    std::unique_ptr<Impl> impl_;
};

}  // namespace restand
