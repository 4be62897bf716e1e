#pragma once
// What a device gives the app, and what the app gives back: events in, a frame of draw lists out.
// No SDL here.

#include <string>
#include <variant>

struct ImDrawData;

namespace restand {

/// The surface drawn on. Pixels are pixels of the picture; millimetres become pixels with `px_per_mm`.
struct Viewport {
    int width_px = 1280;
    int height_px = 800;
    float px_per_mm = 5.87f;  ///< density of the display × the user's scale
};

/// One pointer: mouse and finger take the same path. `x`, `y` in pixels of the glass, origin top left.
/// `cancel` ends a press that must not become a tap (a second finger came down, the window lost focus) and,
/// without a press, tells that the pointer has left the glass. A down and its up may arrive before one frame.
struct PointerEvent {
    enum class Kind { down, move, up, cancel } kind;
    float x, y;
    bool touch;
};

/// Wheel, in notches: positive `dy` is away from the user, positive `dx` to the right.
struct WheelEvent {
    float dx, dy;
};

/// Two fingers: `factor` is the change of their distance since the last event (>1: apart), at their middle.
/// A gesture starts with a PointerEvent `cancel`, then a PinchEvent of factor 1; its middle may be followed.
struct PinchEvent {
    float x, y, factor;
};

/// UTF-8 as typed.
struct TextEvent {
    std::string text;
};

// clang-format off
enum class Key {
    enter, escape, tab, back_tab, backspace, del,
    left, right, up, down, space, undo, home, end
};
// clang-format on

/// A key pressed (or repeated while held); letters and digits come as TextEvent. A space bar comes as both.
struct KeyEvent {
    Key key;
};

/// The glass has a new size or density.
struct ResizeEvent {
    Viewport viewport;
};

/// A worker has finished something.
struct WakeEvent {};

using Event = std::variant<PointerEvent, WheelEvent, PinchEvent, TextEvent, KeyEvent, ResizeEvent, WakeEvent>;

/// What the platform's main loop drives; implemented by app/app.h.
class Host {
public:
    virtual ~Host() = default;

    virtual void handle(const Event& event) = 0;

    /// false: the picture on the glass is still right.
    virtual bool wants_frame() const = 0;

    /// Draws one frame; `seconds` is a monotonic clock's reading. Valid until the next call.
    virtual ImDrawData* frame(double seconds) = 0;

    /// An on-screen keyboard would help.
    virtual bool wants_text() const = 0;
};

}  // namespace restand
