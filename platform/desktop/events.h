#pragma once
// What SDL reports, put into the app's words (app/host.h).
//
// 1. One pointer: the mouse's left button and the first finger take the same path. SDL's own translation of
//    one into the other is switched off (window.cpp), so a touch never arrives twice.
// 2. A second finger ends the press with `cancel` and makes a pinch of the two; it is never a tap, nor is the
//    finger that stays when the other one leaves. Further fingers are ignored: drops of water make them.
// 3. A finger of a trackpad is no finger on the glass.

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
    /// Fingers come as fractions of the glass.
    void set_viewport(const Viewport& viewport) { viewport_ = viewport; }

    /// Adds what `event` means to `out`: nothing, one event or two. The window's own events are the window's.
    void read(const SDL_Event& event, std::vector<Event>& out);

    /// Forgets what is pressed: it will have no proper end (the window lost the focus).
    void cancel(std::vector<Event>& out);

    /// The mouse has left the glass; one that holds a button is still followed.
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
    bool pressed_ = false;                          // a press is open that the app has been told of
    float x_ = 0, y_ = 0;                           // where the pointer was last
    bool touch_ = false;                            // what the pointer was last
    std::array<std::optional<Finger>, 2> fingers_;  // on the glass, in the order they came
    bool pinching_ = false;                         // until both fingers have left
    float spread_ = 0;  // distance of the two fingers, pixels; 0 before a gesture's first
};

}  // namespace restand
