#pragma once
// Draws a PageView and turns what fingers, mouse and keys do into actions. It decides nothing and keeps
// nothing but what is transient: where a list was scrolled to, how the drawing was moved, which target has
// the focus.
//
// - One ImGui context and its fonts belong to each PageScreen; several may live at once (tests).
// - Events are matched against the last frame drawn: draw once before the first event.
// - A tap is down and up on one target, at most 4 mm apart. Dragging scrolls the slip or moves the drawing.
//
// Ids of what can be tapped, beside those of the view's tags and rows:
//   title:back, title:who, title:settings; step:1 to step:6; primary; drawing:whole; notice:undo,
//   notice:close
//   key:0 to key:9, key:. key:erase key:unit key:sign key:/ key:space key:same key:close key:where key:instrument key:shift
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

namespace restand {

class PageScreen {
public:
    explicit PageScreen(Viewport viewport);
    ~PageScreen();
    PageScreen(PageScreen&&) noexcept;
    PageScreen& operator=(PageScreen&&) noexcept;

    /// The glass has another size or density; the typeface is drawn anew at the next draw.
    void resize(Viewport viewport);

    /// What the event asks for, in order. Keys: Tab and arrows move the focus, Enter and Space tap what has
    /// it, Enter without focus takes the primary while a tag is open, Esc closes the tag or goes back, Ctrl+Z
    /// undoes, text and Backspace go to the open tag.
    std::vector<Action> handle(const Event& event, const PageView& view);

    /// One frame, from nothing to finished draw lists. Taps come from handle(); none are left over here.
    std::vector<Action> draw(const PageView& view);

    /// Of the last frame; null before the first. Makes its context the current one, for a renderer.
    ImDrawData* draw_data();

    /// The last frame still shows the truth about focus, scroll and press; false after an event changed them.
    bool settled() const;

    /// Of the last frame, in the order drawn.
    const std::vector<Drawn>& drawn() const;

    /// Where to tap: the part of the target that is to be seen. Nothing when it is not on the glass.
    std::optional<Rect> rect_of(std::string_view id) const;

    /// Scrolls so that the target comes into sight at the next draw (keyboard focus does so by itself).
    void show(std::string_view id);

private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

}  // namespace restand
