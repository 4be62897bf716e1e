#pragma once
// Translates SDL events into the app's events (app/host.h).
//
// 1. One pointer: the mouse's left button and the first finger take the same path. SDL's own translation of
//    one into the other is switched off (window.cpp), so a touch never arrives twice.
// 2. A second finger ends the press with `cancel` and makes a pinch of the two. It is never a tap; nor is the
//    finger that stays when the other one lifts. Further fingers are ignored: drops of water make them.
// 3. A finger on a trackpad does not count as a finger on the screen.

#include <array>
#include <optional>
#include <vector>

#include "app/host.h"

union SDL_Event;
struct SDL_KeyboardEvent;
struct SDL_MouseButtonEvent;
struct SDL_MouseMotionEvent;
struct SDL_TouchFingerEvent;

namespace restand {

class EventReader {
public:
    /// Finger positions are fractions of the viewport.
    void set_viewport(const Viewport& viewport) { viewport_ = viewport; }

    /// Adds what `event` means to `out`: nothing, one event or two. Window events are handled by the window.
    void read(const SDL_Event& event, std::vector<Event>& out);

    /// Clears the pressed state: no release will arrive (the window lost the focus).
    void cancel(std::vector<Event>& out);

    /// The mouse has left the viewport; it is still followed while it holds a button.
    void leave(std::vector<Event>& out);

private:
    struct Finger {
        long long id;
        float x, y;  // pixels
    };

    void read_button(const SDL_MouseButtonEvent& button, std::vector<Event>& out);
    void read_motion(const SDL_MouseMotionEvent& motion, std::vector<Event>& out);
    void finger_down(const Finger& finger, std::vector<Event>& out);
    void finger_move(const Finger& finger, std::vector<Event>& out);
    void finger_up(const Finger& finger, std::vector<Event>& out);
    void pinch(std::vector<Event>& out);
    void end_press(std::vector<Event>& out);

    Viewport viewport_;
    bool pressed_ = false;                          // the app has received a press without its end
    float x_ = 0, y_ = 0;                           // last position of the pointer
    bool touch_ = false;                            // the last pointer was a finger
    std::array<std::optional<Finger>, 2> fingers_;  // on the screen, in the order they came
    bool pinching_ = false;                         // until both fingers have lifted
    float spread_ = 0;  // distance of the two fingers, pixels; 0 before a gesture's first event
};

}  // namespace restand
