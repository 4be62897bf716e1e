// Adjusters dragged on the attitude drawing: the whole bike follows, nothing is on disk, and it can be
// undone.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/screens/page_input.h"
#include "core/ledger/chassis.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

constexpr const char* fork_tag = "tag:tried:front:fork_position";

const Tag& tag_of(Driver& driver, std::string_view id) {
    for (const Tag& tag : driver.page().drawing.tags)
        if (tag.id == id) return tag;
    FAIL("no tag " << id);
    return driver.page().drawing.tags.front();
}

double tried_at(Driver& driver, End end, Point point) {
    return measured(setup_tried(driver.state(), driver.state().bike).stored(end, point)->reading).value;
}

// Drags along the tag's arrow by this many millimetres on the screen, plus the movement that still counts as
// a tap.
void drag_along(Driver& driver, std::string_view id, double viewport_mm) {
    const Drag drag = tag_of(driver, id).drag.value();
    const double far = viewport_mm + (viewport_mm < 0 ? -tap_slop_mm : tap_slop_mm);
    driver.drag(std::string(id), far * drag.along.x, far * drag.along.y);
}

}  // namespace

TEST_CASE(
    "drag: the fork's tag along its tubes tries a millimetre for every four of glass; the rake follows") {
    DemoHand driver;
    driver.tap("attitude");
    const std::size_t entries = on_disk(driver);
    const double was = now_at(driver, End::front, Point::fork_position);
    const Bike& bike = *driver.state().ledger.bike(driver.state().bike);
    // The tubes lean back by the rake.
    const Drag drag = tag_of(driver, fork_tag).drag.value();
    CHECK(drag.along.x == doctest::Approx(-std::sin(bike.body.geometry.rake->value)));
    CHECK(drag.along.y == doctest::Approx(std::cos(bike.body.geometry.rake->value)));

    const std::string rake_was = tag_of(driver, "tag:rake").value;
    drag_along(driver, fork_tag, 12);
    CHECK(tried_at(driver, End::front, Point::fork_position) == doctest::Approx(was + 3));
    CHECK(tag_of(driver, fork_tag).value == fmt::format("{:.1f}", was + 3));
    const auto chassis =
        chassis_of(bike.body, setup_tried(driver.state(), bike.id), setup_described(driver.state(), bike.id));
    REQUIRE(chassis.has_value());
    const std::string rake =
        fmt::format("{:.1f}", in_degrees(chassis->in(driver.state().trial.looked_at)->rake));
    CHECK(tag_of(driver, "tag:rake").value == rake);
    CHECK(rake != rake_was);
    CHECK(driver.shows(rake));
    CHECK(on_disk(driver) == entries);
    CHECK(now_at(driver, End::front, Point::fork_position) == was);

    // 2 mm on the screen are half a millimetre of adjustment; movement across the tubes has no effect.
    drag_along(driver, fork_tag, 2.1);
    CHECK(tried_at(driver, End::front, Point::fork_position) == doctest::Approx(was + 3.5));
    driver.drag(fork_tag, 20 * drag.along.y, -20 * drag.along.x);
    CHECK(tried_at(driver, End::front, Point::fork_position) == doctest::Approx(was + 3.5));
    // Dragged all the way back, nothing is tried.
    drag_along(driver, fork_tag, -14);
    CHECK(driver.state().trial.tried.empty());
    CHECK(on_disk(driver) == entries);
    drag_along(driver, fork_tag, 4);
    driver.tap("primary");
    CHECK(now_at(driver, End::front, Point::fork_position) == doctest::Approx(was + 1));
}

TEST_CASE("drag: the tag under the finger stays there while numbers and notes grow round it") {
    DemoHand driver;
    driver.tap("attitude");
    const auto middle = [&] {
        const Rect r = driver.session().app().screen().rect_of(fork_tag).value();
        return Vec2{r.middle_x(), r.middle_y()};
    };
    const Vec2 was = middle();
    const Vec2 along = tag_of(driver, fork_tag).drag->along;
    driver.put_finger(fork_tag);
    for (int i = 0; i < 6; ++i) {
        driver.move_finger(5 * along.x, 5 * along.y);
        CHECK(std::fabs(middle().x - was.x) <= 1);  // px; sizes are whole pixels
        CHECK(std::fabs(middle().y - was.y) <= 1);
    }
    CHECK_FALSE(tag_of(driver, "tag:rake").note.empty());
    const Vec2 held = middle();
    driver.lift_finger();
    CHECK(middle() == held);
}

TEST_CASE("drag: shock and axle go their own ways, and no further than they can") {
    DemoHand driver;
    driver.tap("attitude");
    const double shock = now_at(driver, End::rear, Point::eye_to_eye),
                 axle = now_at(driver, End::rear, Point::axle_position);
    drag_along(driver, "tag:tried:rear:eye_to_eye", 6);
    CHECK(tried_at(driver, End::rear, Point::eye_to_eye) == doctest::Approx(shock + 1.5));
    drag_along(driver, "tag:tried:rear:axle_position", -10);
    CHECK(tried_at(driver, End::rear, Point::axle_position) == doctest::Approx(axle - 2.5));
    CHECK(tag_of(driver, "tag:tried:rear:axle_position").drag->along.x < -0.8);  // backwards is more
    CHECK(driver.state().trial.tried.size() == 2);
    // A chain that does not fit cannot be confirmed as set.
    CHECK(driver.page().primary.tap.has_value());
    drag_along(driver, "tag:tried:rear:axle_position", 40);
    CHECK_FALSE(driver.page().primary.tap.has_value());
    CHECK(driver.page().primary.why_not.find("too short") != std::string::npos);
    // Further than the tubes can move.
    drag_along(driver, fork_tag, 90);
    const double highest = now_at(driver, End::front, Point::fork_position_max);
    CHECK(tried_at(driver, End::front, Point::fork_position) == doctest::Approx(highest));
}

TEST_CASE("drag: a tap still opens the pad, a finger on empty paper still moves the drawing") {
    DemoHand driver;
    driver.tap("attitude");
    // A movement within the tap tolerance is a tap.
    driver.drag(fork_tag, 0, tap_slop_mm - 0.5);
    REQUIRE(driver.state().pad.has_value());
    CHECK(driver.state().pad->field.point == Point::fork_position);
    CHECK(driver.state().trial.tried.empty());
    driver.press(Key::escape);

    Rect paper;
    std::vector<Rect> targets;
    for (const Drawn& d : driver.session().app().screen().drawn()) {
        if (d.kind == Drawn::Kind::panel && d.id == "drawing") paper = d.area();
        if (d.kind == Drawn::Kind::touch) targets.push_back(d.area());
    }
    REQUIRE(paper.w > 0);
    const Vec2 low = driver.page().drawing.low;
    const auto on_target = [&](float x, float y) {
        return std::any_of(targets.begin(), targets.end(), [&](const Rect& r) { return r.contains(x, y); });
    };
    float x = paper.x + 5;
    const float y = paper.bottom() - 5;
    while (on_target(x, y)) x += 5;
    REQUIRE(paper.contains(x, y));
    CHECK_FALSE(driver.session().app().screen().rect_of("drawing:whole").has_value());
    driver.put_finger(x, y);
    driver.move_finger(10, 0);
    driver.lift_finger();
    CHECK(driver.session().app().screen().rect_of("drawing:whole").has_value());
    CHECK(driver.state().trial.tried.empty());
    // Trying a setting does not recentre the drawing.
    drag_along(driver, fork_tag, 4);
    CHECK(driver.state().trial.tried.size() == 1);
    CHECK(driver.session().app().screen().rect_of("drawing:whole").has_value());
    CHECK(driver.page().drawing.low == low);
}

TEST_CASE("drag: Escape and a second finger put it back; 'As it is' takes all of it back") {
    DemoHand driver;
    driver.tap("attitude");
    const Drag drag = tag_of(driver, fork_tag).drag.value();
    const double right = 16 * drag.along.x, up = 16 * drag.along.y;
    // While the finger is down.
    for (const bool key : {true, false}) {
        driver.put_finger(fork_tag);
        driver.move_finger(right, up);
        CHECK(driver.state().trial.tried.size() == 1);
        if (key)
            driver.press(Key::escape);
        else
            driver.lift_finger(PointerEvent::Kind::cancel);
        CHECK(driver.state().trial.tried.empty());
        CHECK(driver.state().screen == Screen::attitude);
        driver.move_finger(right, up);
        driver.lift_finger();
        CHECK(driver.state().trial.tried.empty());
    }
    // Right after the drag. Earlier tried values stay; another Escape goes back.
    drag_along(driver, fork_tag, 4);
    drag_along(driver, fork_tag, 4);
    driver.press(Key::escape);
    CHECK(tried_at(driver, End::front, Point::fork_position) ==
          now_at(driver, End::front, Point::fork_position) + 1);
    CHECK(driver.state().screen == Screen::attitude);
    driver.tap("nothing");
    CHECK(driver.state().trial.tried.empty());
    drag_along(driver, fork_tag, 4);
    driver.tap("state:0");
    driver.press(Key::escape);
    CHECK(driver.state().screen == Screen::bike);
}

TEST_CASE("drag: each handle shows a double arrow in its tag, and is large enough for a finger") {
    for (const Viewport& viewport : {tablet, Viewport{800, 1280, 5.87f}}) {
        for (const int percent : {80, 100, 140, 200}) {
            const WalkFolder folder;
            Driver driver(viewport, folder.demo());
            begin(driver);
            go(driver, act::SetLook{false, percent});
            driver.tap("attitude");
            CAPTURE(viewport.width_px);
            CAPTURE(percent);
            std::size_t arrows = 0;
            for (const Drawn& arrow : driver.session().app().screen().drawn()) {
                if (arrow.kind != Drawn::Kind::handle) continue;
                ++arrows;
                const auto tag = driver.session().app().screen().rect_of(arrow.id);
                REQUIRE(tag.has_value());
                CHECK(tag->holds(arrow.area()));
                CHECK(std::min(tag->w, tag->h) >= 12 * viewport.px_per_mm);
                for (const Drawn& d : driver.session().app().screen().drawn())
                    if (d.kind == Drawn::Kind::text) CHECK_FALSE(d.area().overlaps(arrow.area()));
            }
            CHECK(arrows == 3);
        }
    }
}
