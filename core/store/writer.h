#pragma once
// Puts entries on disk off the frame's thread. What comes back is what is on disk, in the order it was asked
// for. The destructor finishes what was asked. What throws is refused (io, in its words); the thread goes on.

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
    Ticket ask(Ask ask);                            // anything else of the store's, in its turn
    void keep_draft(std::string bytes);             // only the newest waiting draft is written
    // A short slice of long work, once nothing else waits. A new one takes the place of one that has not begun; dropped
    // by the destructor.
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
