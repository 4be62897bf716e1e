#pragma once
// The main loop, one turn at a time, so that whoever owns the thread may drive it:
// `while (loop.step());` here, the browser's frame callback there.
//
// 1. While the picture on the glass is right no frame is made or drawn: the turn sleeps in SDL's queue.
// 2. Events reach the stage in the order they came, all of a turn's before its frame.
// 3. Nothing but wake() may be called from another thread.

#include <vector>

#include "app/host.h"
#include "platform/desktop/window.h"

namespace restand {

/// From any thread: the loop wakes and hands the stage a WakeEvent. False: the queue is full or closed; the
/// loop is awake then, and what finished is seen at the next one.
bool wake();

class Loop {
public:
    /// Both must outlive it. Tells the stage its glass.
    Loop(Host& host, Window& window);

    /// One turn: waits for an event (at most `patience_ms`, and not at all when a frame is due), hands over
    /// all there are, draws if the stage wants it. The wait ends by itself so that what changes with time is
    /// seen (a cursor, a note that goes away). False: the person wants to leave.
    bool step(int patience_ms = 250);

    /// Frames drawn so far.
    long frames() const { return frames_; }

private:
    bool frame_is_due() const;
    void draw();

    Host& host_;
    Window& window_;
    std::vector<Event> events_;  // of this turn; kept for its memory
    long frames_ = 0;
};

}  // namespace restand
