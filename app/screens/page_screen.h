#pragma once
// Draws a PageView and turns touch, mouse and keyboard events into actions. It makes no decisions and
// keeps only transient state: scroll position, zoom and pan of the drawing, focused target.
//
// - One ImGui context and its fonts belong to each PageScreen; several may live at once (tests).
// - Events are matched against the last frame drawn: draw once before the first event.
// - A tap is down and up on one target, at most 4 mm apart. Dragging scrolls the side panel or moves the
//   drawing.
//
// Ids of tap targets, in addition to those of the view's tags and rows:
//   title:back, title:who, title:settings; step:1 to step:6; primary; drawing:whole; notice:key,
//   notice:close
//   key:0 to key:9, key:. key:erase key:unit key:sign key:/ key:space key:same key:close key:where
//   key:instrument key:settled key:unread key:shift
//   key:a to key:z (lower case in both shifts) and key:- key:# key:, among the letters
//   repeat:0 and on, repeat:add; question:yes, question:no
//   an option of a row::Choice: its id + ":" + index

#include <memory>
#include <optional>
#include <string_view>
#include <vector>

#include "app/host.h"
#include "app/views/page_view.h"
#include "app/widgets/drawn.h"
#include "app/widgets/pointer.h"

namespace restand {

class PageScreen {
public:
    explicit PageScreen(Viewport viewport);
    ~PageScreen();
    PageScreen(PageScreen&&) noexcept;
    PageScreen& operator=(PageScreen&&) noexcept;

    /// The viewport changed size or density; the next draw rasterises the typeface again.
    void resize(Viewport viewport);

    /// The actions the event requests, in order. Keys: Tab and arrows move the focus; Enter and Space tap the
    /// focused target; Enter without focus taps the primary while a tag is open; Esc closes the tag, dropping
    /// what was typed, or goes back; Ctrl+Z undoes, Ctrl+Y redoes; F1 or ? shows the keys; Ctrl+P prints;
    /// text and Backspace go to the open tag.
    std::vector<Action> handle(const Event& event, const PageView& view);

    /// Draws one complete frame. Taps are returned by handle(); only a key that repeats while it is held acts
    /// here. `seconds`: a monotonic clock.
    std::vector<Action> draw(const PageView& view, double seconds = 0);

    /// Draw data of the last frame; null before the first. Makes its ImGui context current, for a renderer.
    ImDrawData* draw_data();

    /// True while the last frame shows the current focus, scroll and press; false once an event changed them.
    bool settled() const;

    /// What the last frame drew, in order.
    const std::vector<Drawn>& drawn() const;

    /// What the last frame was drawn for.
    Pointer pointer() const;
    int text_percent() const;

    /// Where to tap: the visible part of the target. Empty when it is outside the viewport.
    std::optional<Rect> rect_of(std::string_view id) const;

    /// Scrolls the target into view at the next draw (keyboard focus does this automatically).
    void show(std::string_view id);

private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

}  // namespace restand
