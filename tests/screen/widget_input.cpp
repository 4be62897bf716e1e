// Fingers, mouse and keys on a drawn page.
#include <doctest/doctest.h>

#include "app/screens/page_screen.h"
#include "app/trial/trial_actions.h"
#include "tests/screen/walk.h"
#include "tests/screen/widget_pages.h"

using namespace restand;
using test::tablet;
using Kind = PointerEvent::Kind;

namespace {

struct PageBench {
    PageView view;
    PageScreen screen{tablet};
    explicit PageBench(PageView v) : view(std::move(v)) { screen.draw(view); }
    std::vector<Action> send(const Event& event) { return screen.handle(event, view); }
    std::vector<Action> press(float x, float y, float to_x, float to_y) {
        send(PointerEvent{Kind::down, x, y, true});
        send(PointerEvent{Kind::move, to_x, to_y, true});
        return send(PointerEvent{Kind::up, to_x, to_y, true});
    }
    std::vector<Action> tap(std::string_view id) {
        const auto at = screen.rect_of(id);
        REQUIRE_MESSAGE(at.has_value(), id);
        return press(at->middle_x(), at->middle_y(), at->middle_x(), at->middle_y());
    }
    std::vector<Action> key(Key k) { return send(KeyEvent{k}); }
};

template <class T>
const T* only(const std::vector<Action>& actions) {
    return actions.size() == 1 ? actions[0].get_if<T>() : nullptr;
}

}  // namespace

TEST_CASE("tap: digits, erase, repeats and the primary say what they are") {
    PageBench b(pages::pad());
    for (const char* digit : {"0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "."}) {
        const auto actions = b.tap(std::string("key:") + digit);
        REQUIRE(only<act::PadText>(actions));
        CHECK(only<act::PadText>(actions)->text == digit);
    }
    CHECK(only<act::PadErase>(b.tap("key:erase")));
    CHECK(only<act::PadUnit>(b.tap("key:unit")));
    CHECK(only<act::PadSame>(b.tap("key:same")));
    CHECK(only<act::PadRepeat>(b.tap("repeat:add")));
    REQUIRE(only<act::PadDropRepeat>(b.tap("repeat:0")));
    CHECK(only<act::PadNext>(b.tap("primary")));
    CHECK(only<act::CloseTag>(b.tap("key:close")));
    CHECK(only<act::GoToStep>(b.tap("step:2"))->step == Step6::new_part);
    CHECK_FALSE(b.screen.rect_of("step:5"));  // not reachable yet
}

TEST_CASE("tap: a finger that trembles taps, one that wanders does not") {
    PageBench b(pages::pad());
    const Rect five = *b.screen.rect_of("key:5");
    const float mm = tablet.px_per_mm, x = five.middle_x(), y = five.middle_y();
    CHECK(only<act::PadText>(b.press(x, y, x + 3.5f * mm, y)));
    CHECK(b.press(x, y, x + 4.5f * mm, y).empty());
    // Down on one key, up on another.
    const Rect six = *b.screen.rect_of("key:6");
    CHECK(b.press(five.right() - 1, y, six.x + 1, y).empty());
    // Something else cancelled the press.
    b.send(PointerEvent{Kind::down, x, y, true});
    b.send(PointerEvent{Kind::cancel, x, y, true});
    CHECK(b.send(PointerEvent{Kind::up, x, y, true}).empty());
    // Down and up before any frame is a tap.
    b.send(PointerEvent{Kind::down, x, y, true});
    CHECK(only<act::PadText>(b.send(PointerEvent{Kind::up, x, y, true})));
}

TEST_CASE("slip: dragging scrolls it and taps nothing; the wheel scrolls it too") {
    PageBench b(pages::before());
    const Rect row = *b.screen.rect_of("row:before:rider");
    CHECK_FALSE(b.screen.rect_of("row:before:sprockets"));
    CHECK(b.press(row.middle_x(), row.middle_y(), row.middle_x(), row.middle_y() - 2000).empty());
    CHECK_FALSE(b.screen.settled());
    b.screen.draw(b.view);
    CHECK(b.screen.settled());
    CHECK(b.screen.rect_of("row:before:sprockets"));
    CHECK(only<act::OpenTag>(b.tap("row:before:sprockets")));
    b.send(WheelEvent{0, 100});
    b.screen.draw(b.view);
    CHECK(b.screen.rect_of("row:before:topped_out"));
}

TEST_CASE("drawing: dragged and zoomed, one tap brings it back") {
    PageBench b(pages::before());
    const Rect home = *b.screen.rect_of("tag:before:eye_to_eye");
    CHECK_FALSE(b.screen.rect_of("drawing:whole"));
    b.press(300, 690, 380, 690);
    b.screen.draw(b.view);
    CHECK(b.screen.rect_of("drawing:whole"));
    b.send(PointerEvent{Kind::cancel, 500, 400, true});
    b.send(PinchEvent{500, 400, 1});
    b.send(PinchEvent{500, 400, 1.6f});
    b.screen.draw(b.view);
    CHECK(b.tap("drawing:whole").empty());
    b.screen.draw(b.view);
    CHECK_FALSE(b.screen.rect_of("drawing:whole"));
    CHECK(*b.screen.rect_of("tag:before:eye_to_eye") == home);
}

TEST_CASE("keyboard: Tab reaches everything that can be tapped, in order, and Enter taps it") {
    PageBench b(pages::before());
    std::vector<std::string> seen;
    std::size_t opened = 0;
    for (int i = 0; i < 60; ++i) {
        b.key(Key::tab);
        b.screen.draw(b.view);
        opened += only<act::OpenTag>(b.key(Key::enter)) != nullptr;
    }
    // 6 tags, 10 rows and the primary open a tag; back, who, settings and two steps do not: 22 in all.
    CHECK(opened >= 2 * 17);
    b.key(Key::end);
    CHECK(only<act::OpenTag>(b.key(Key::space)));
    CHECK(b.send(TextEvent{" "}).empty());  // the same space bar, as text
}

TEST_CASE("keyboard: a gauge types into the open tag and its Enter goes on") {
    PageBench b(pages::pad());
    b.key(Key::tab);  // moves the focus ring to some target
    REQUIRE(only<act::PadText>(b.send(TextEvent{"3"})));
    CHECK(only<act::PadNext>(b.key(Key::enter)));
    CHECK(only<act::PadErase>(b.key(Key::backspace)));
    CHECK(only<act::CloseTag>(b.key(Key::escape)));
    CHECK(only<act::Undo>(b.key(Key::undo)));

    // With the pad open, Tab starts at its keys; with a question open, at its answers.
    PageBench tabbed(pages::pad());
    tabbed.key(Key::tab);
    CHECK(only<act::PadText>(tabbed.key(Key::enter)));
    PageBench asked(pages::question());
    asked.key(Key::tab);
    CHECK(only<act::ConfirmSame>(asked.key(Key::enter)));

    PageBench closed(pages::before());
    CHECK(only<act::PadText>(closed.send(TextEvent{"3"})));  // the app state opens the next tag for it
    CHECK(closed.key(Key::enter).empty());
    CHECK(only<act::Back>(closed.key(Key::escape)));

    PageBench question(pages::question());
    CHECK(only<act::PadText>(question.send(TextEvent{"3"})));  // the app state says that it is not taken
    CHECK(question.key(Key::enter).empty());
    REQUIRE(only<act::ConfirmSame>(question.tap("question:no")));
    CHECK(only<act::ConfirmSame>(question.tap("question:yes"))->same);
}

TEST_CASE("letters: the first is a capital, shift is for one letter") {
    PageView view = pages::letters();
    view.pad->entry = "";
    PageBench b(view);
    CHECK(only<act::PadText>(b.tap("key:m"))->text == "M");
    CHECK(b.tap("key:shift").empty());
    b.screen.draw(b.view);
    CHECK(only<act::PadText>(b.tap("key:m"))->text == "m");
    b.view.pad->entry = "Mi";
    b.screen.draw(b.view);
    CHECK(only<act::PadText>(b.tap("key:k"))->text == "k");
    CHECK(only<act::PadText>(b.tap("key:space"))->text == " ");
}

TEST_CASE("primary: without a tap it is drawn with its reason and takes none") {
    PageBench b(pages::verdict());
    CHECK_FALSE(b.screen.rect_of("primary"));
    bool said = false;
    for (const Drawn& drawn : b.screen.drawn()) said = said || drawn.text.starts_with("First say why");
    CHECK(said);
    CHECK(only<act::Undo>(b.tap("notice:key")));
}

TEST_CASE("drag: drawn large enough, the number follows the drawing itself") {
    for (const double per_mm : {1.0, 0.5}) {
        PageView view;
        view.drawing.low = {0, 0};
        view.drawing.high = {20, 12};
        view.drawing.strokes.push_back({{{0, 0}, {20, 12}}});
        view.drawing.labels = {{{0, 6}, "o"}, {{20, 6}, "o"}};
        Tag tag;
        tag.id = "tag:some";
        tag.label = "some";
        tag.value = "10.0";
        tag.a = {10, 6};
        tag.tap = act::Back{};
        tag.drag = Drag{.value = 10, .along = {1, 0}, .per_mm = per_mm};
        view.drawing.tags.push_back(tag);
        PageBench b(view);
        std::vector<float> at;
        for (const Drawn& drawn : b.screen.drawn())
            if (drawn.text == "o") at.push_back(drawn.x);
        REQUIRE(at.size() == 2);
        const double scale = (at[1] - at[0]) / 20 / tablet.px_per_mm;  // mm on the screen per mm drawn
        REQUIRE(scale > 4);
        const Rect r = *b.screen.rect_of("tag:some");
        const float x = r.middle_x(), y = r.middle_y(), mm = tablet.px_per_mm;
        b.send(PointerEvent{Kind::down, x, y, true});
        const auto moved =
            b.send(PointerEvent{Kind::move, x + (4 + 3 * static_cast<float>(scale)) * mm, y, true});
        REQUIRE(only<act::TryTo>(moved));
        CHECK(only<act::TryTo>(moved)->value == doctest::Approx(10 + 3 * per_mm));
        // No movement sends no action, nor does lifting the finger there.
        CHECK(b.send(PointerEvent{Kind::up, x + (4 + 3 * static_cast<float>(scale)) * mm, y, true}).empty());
        b.send(PointerEvent{Kind::down, x, y, true});
        CHECK(only<act::Back>(b.send(PointerEvent{Kind::up, x, y, true})));
    }
}
