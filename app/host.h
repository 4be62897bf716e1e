#pragma once
// The interface between a device and the app: events in, a frame of draw lists out. Independent of SDL.

#include <string>
#include <variant>

struct ImDrawData;

namespace restand {

/// The surface drawn on. Pixels are those of the picture; `px_per_mm` converts millimetres to pixels.
struct Viewport {
    int width_px = 1280;
    int height_px = 800;
    float px_per_mm = 5.87f;  ///< density of the display × the user's scale
};

/// One pointer: mouse and finger are handled alike. `x`, `y`: pixels of the viewport, origin top left.
/// `cancel` ends a press that must not become a tap (a second finger came down, the window lost focus).
/// Without a press it says that the pointer has left the viewport. A down and its up may arrive before one
/// frame.
struct PointerEvent {
    enum class Kind { down, move, up, cancel } kind;
    float x, y;
    bool touch;
};

/// Wheel, in notches: positive `dy` is away from the user, positive `dx` to the right.
struct WheelEvent {
    float dx, dy;
};

/// Two fingers. `factor`: change of their distance since the last event (>1: apart). `x`, `y`: the point
/// midway between them. A gesture starts with a PointerEvent `cancel`, then a PinchEvent of factor 1. The
/// midpoint may move.
struct PinchEvent {
    float x, y, factor;
};

/// Text as typed, in UTF-8.
struct TextEvent {
    std::string text;
};

// clang-format off
enum class Key {
    enter, escape, tab, back_tab, backspace, del,
    left, right, up, down, space, undo, redo, home, end, help, print
};
// clang-format on

/// A key pressed (or repeated while held). Letters and digits arrive as TextEvent, the space bar as both.
struct KeyEvent {
    Key key;
};

/// The viewport has a new size or density.
struct ResizeEvent {
    Viewport viewport;
};

/// A worker thread has finished something.
struct WakeEvent {};

using Event = std::variant<PointerEvent, WheelEvent, PinchEvent, TextEvent, KeyEvent, ResizeEvent, WakeEvent>;

/// The object that the platform's main loop drives. Implemented by app/app.h.
class Host {
public:
    virtual ~Host() = default;

    virtual void handle(const Event& event) = 0;

    /// False: the picture on the screen is still current.
    virtual bool wants_frame() const = 0;

    /// Draws one frame. `seconds`: a monotonic clock. The result is valid until the next call.
    virtual ImDrawData* frame(double seconds) = 0;

    /// True: an on-screen keyboard would help.
    virtual bool wants_text() const = 0;
};

}  // namespace restand
