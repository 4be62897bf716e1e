#pragma once
// The main loop, one turn at a time, so that the thread's owner can run it: `while (loop.step());` on the
// desktop, the frame callback in a browser.
//
// 1. While the picture shown is current no frame is made or drawn: the turn sleeps in SDL's queue.
// 2. Events reach the host in the order they came, all of a turn's before its frame.
// 3. Only wake() may be called from another thread.

#include <vector>

#include "app/host.h"
#include "platform/desktop/window.h"

namespace restand {

/// From any thread: wakes the loop, which hands the host a WakeEvent. False: the queue is full or closed; the
/// loop is awake then, and handles the result at the next WakeEvent.
bool wake();

class Loop {
public:
    /// Both must outlive it. Tells the host its viewport.
    Loop(Host& host, Window& window);

    /// One turn: waits for an event (at most `patience_ms`, and not at all when a frame is due), hands over
    /// all there are, draws if the host wants it. The wait is limited so that changes with time are shown (a
    /// cursor, a note that disappears). False: the person wants to leave.
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
