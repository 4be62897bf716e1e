#pragma once
// The surface every widget draws on: one draw list, sizes in millimetres, text placed by its baseline.
// The book records what was drawn where; it is used to find the target of a tap, and by tests.

#include <imgui.h>

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "app/action.h"
#include "app/widgets/drawn.h"
#include "app/widgets/palette.h"
#include "app/widgets/pointer.h"
#include "app/widgets/type.h"

namespace restand {

/// Taps that change only the screen, not the app state.
enum class Local { none, whole, shift };

/// Tab visits regions in this order; within a region, targets in the order drawn.
enum class Region { title, ruler, drawing, panel, pad, notice, primary };

struct Target {
    std::string id;
    Rect area;  ///< px, the whole target
    Rect seen;  ///< the part inside the clip
    std::optional<Action> tap{};
    Local local = Local::none;
    bool scrolls = false;
    Region place = Region::title;
};

/// What is kept of a frame until the next one.
struct Book {
    std::vector<Drawn> drawn;
    std::vector<Target> targets;
    std::vector<std::pair<std::string, std::string>> hints;  ///< by target: what it is, in words
    const Target* find(std::string_view id) const;
    const std::string* hint(std::string_view id) const;
};

/// The target that is pressed, and the target with keyboard focus (drawn with a focus ring).
struct Held {
    std::string pressed, focus;
    std::string hover{};  ///< under a mouse that presses nothing
};


enum class Align { left, centre, right };

class Canvas {
public:
    Canvas(ImDrawList& lines, const Type& letters, const Palette& colours, float px_per_mm, Book& book,
           const Held& held, Pointer points = Pointer::finger)
        : list(lines), type(letters), paper(colours), pointer(points), px_per_mm_(px_per_mm), book_(book),
          held_(held) {}

    float mm(float millimetres) const { return millimetres * px_per_mm_; }
    float floor_scale(Face face) const { return type.floor_scale(face, px_per_mm_); }
    /// px: a size for the pointer in use.
    float by_pointer(float finger_mm, float mouse_mm) const {
        return mm(pointer == Pointer::mouse ? mouse_mm : finger_mm);
    }
    /// A line's width in px; at least 1 px, so that it does not fade.
    float pen_width(float millimetres) const { return std::max(1.0f, mm(millimetres)); }
    Colour text_of(Ink ink) const { return paper.pen(ink).text; }
    Colour line_of(Ink ink) const { return paper.pen(ink).line; }

    void fill(const Rect& area, Colour colour, float round_mm = 0);
    void frame(const Rect& area, Colour colour, float width_mm, float round_mm = 0);
    void line(float x1, float y1, float x2, float y2, Colour colour, float width_mm);
    void triangle(ImVec2 a, ImVec2 b, ImVec2 c, Colour colour);

    /// One line, its baseline at `baseline`; `x` is its left, middle or right.
    void text(Face face, std::string_view words, float x, float baseline, Colour colour,
              Align align = Align::left, float scale = 1);
    /// One line, capitals centred in the room's height, shrunk to the room's width. Returns its width in px.
    float line_in(Face face, std::string_view words, const Rect& room, Colour colour,
                  Align align = Align::left, float scale = 1);
    /// Wrapped text, from `top` down. Returns its height in px, descenders included.
    float paragraph(Face face, std::string_view words, float x, float top, float width, Colour colour,
                    Align align = Align::left, float scale = 1);
    /// Wrapped text, centred vertically in the room; shrinks until width and height fit.
    void block_in(Face face, std::string_view words, const Rect& room, Colour colour,
                  Align align = Align::centre);

    /// Records a target; true while it is pressed. Without `tap` the target is inactive.
    bool touch(std::string_view id, const Rect& area, float least_mm, std::optional<Action> tap,
               Local local = Local::none);
    void note(Drawn::Kind kind, std::string_view id, const Rect& area);
    /// What the target is, in words, for a mouse that rests on it: a sign, or text that was cut off.
    void hint(std::string_view id, std::string_view words);
    /// Call these last: they are drawn over everything else.
    void focus_ring();
    void hover_hint(const Rect& viewport);

    /// Until the end of the scope, texts belong to `id` and must stay inside `box`.
    class Inside;
    /// Until the end of the scope, nothing is drawn outside `area`.
    class Clip;
    /// Until the end of the scope, nothing is drawn or recorded; heights are still computed.
    class Dry;
    bool dry() const { return dry_; }

    ImDrawList& list;
    const Type& type;
    const Palette& paper;
    const Pointer pointer;
    Region place = Region::title;

private:
    float px_per_mm_;
    Book& book_;
    const Held& held_;
    std::string box_id_;
    Rect box_{0, 0, 1e6f, 1e6f}, clip_{0, 0, 1e6f, 1e6f};
    int list_ = 0, lists_ = 0;  // the scrolling list that is being drawn, 0: none; how many so far
    bool dry_ = false;
};

class Canvas::Dry {
public:
    explicit Dry(Canvas& canvas) : canvas_(canvas), before_(std::exchange(canvas.dry_, true)) {}
    ~Dry() { canvas_.dry_ = before_; }
    Dry(const Dry&) = delete;
    Dry& operator=(const Dry&) = delete;

private:
    Canvas& canvas_;
    bool before_;
};

class Canvas::Inside {
public:
    Inside(Canvas& canvas, std::string_view id, const Rect& box);
    ~Inside();
    Inside(const Inside&) = delete;
    Inside& operator=(const Inside&) = delete;

private:
    Canvas& canvas_;
    std::string id_;
    Rect box_;
};

class Canvas::Clip {
public:
    Clip(Canvas& canvas, const Rect& area, bool scrolls);
    ~Clip();
    Clip(const Clip&) = delete;
    Clip& operator=(const Clip&) = delete;

private:
    Canvas& canvas_;
    Rect clip_;
    int list_;
};

}  // namespace restand
