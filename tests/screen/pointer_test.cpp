// Finger and mouse on the same pages: how close rows stand, what a mouse names, what a plot reads, a key that is
// held.

#include <cmath>

#include "app/widgets/drawing.h"
#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

struct Pointed : DemoHand {
    const PageScreen& screen() { return session().app().screen(); }
    void mouse(float x, float y) {
        session().handle(PointerEvent{PointerEvent::Kind::move, x - 20, y, false});
        session().handle(PointerEvent{PointerEvent::Kind::move, x, y, false});
        look();
    }
    void mouse_on(const std::string& id) {
        const auto rect = screen().rect_of(id);
        REQUIRE_MESSAGE(rect.has_value(), id);
        mouse(rect->middle_x(), rect->middle_y());
    }
    const Drawn* drawn(Drawn::Kind kind, const std::string& id = "") {
        for (const Drawn& d : screen().drawn())
            if (d.kind == kind && (id.empty() || d.id == id)) return &d;
        return nullptr;
    }
    std::size_t moments() {
        std::size_t count = 0;
        for (const Drawn& d : screen().drawn())
            if (d.kind == Drawn::Kind::touch && d.id.starts_with("moment:") &&
                d.area().both(d.clip()).h >= d.h - 1)
                ++count;
        return count;
    }
    std::string readout() {
        for (const Drawn& d : screen().drawn())
            if (d.kind == Drawn::Kind::text && d.id == "readout") return d.text;
        return "";
    }
};

}  // namespace

TEST_CASE("pointer: with a mouse the same pages stand closer, with a finger they stand apart again") {
    Pointed driver;
    driver.tap("history");
    const std::size_t by_finger = driver.moments();
    // A window that opens under the pointer: nobody moved it.
    driver.session().handle(PointerEvent{PointerEvent::Kind::move, 600, 400, false});
    driver.look();
    CHECK(driver.moments() == by_finger);
    driver.mouse(600, 400);
    const std::size_t by_mouse = driver.moments();
    CHECK(by_mouse >= by_finger + 3);
    // A finger's tap ends where it began; the rows move apart after it.
    driver.tap("kind:1");
    CHECK(driver.screen().pointer() == Pointer::finger);
    CHECK(driver.state().season.query.kinds.size() == 1);
    driver.tap("kind:0");
    CHECK(driver.moments() == by_finger);
}

TEST_CASE("pointer: every page of the bike is laid out for a mouse, too") {
    Pointed driver;
    for (const int percent : {80, 100, 200}) {
        CAPTURE(percent);
        go(driver, act::SetLook{false, percent});
        for (const Screen screen :
             {Screen::bike, Screen::history, Screen::baselines, Screen::trend, Screen::parts,
              Screen::settings, Screen::people, Screen::shelf, Screen::devices, Screen::keys,
              Screen::attitude, Screen::chain, Screen::change, Screen::jobs, Screen::ready}) {
            go(driver, act::Go{screen, driver.state().bike});
            driver.mouse(640, 300);
            CHECK(driver.screen().pointer() == Pointer::mouse);
        }
    }
}

TEST_CASE("pointer: a mouse that rests on a sign, or on words that are cut off, is told what it is") {
    Pointed driver;
    driver.tap("history");
    CHECK_FALSE(driver.drawn(Drawn::Kind::hint));
    driver.mouse_on("title:back");
    REQUIRE(driver.drawn(Drawn::Kind::hint));
    CHECK(driver.drawn(Drawn::Kind::hint)->text == "Back · Esc");
    driver.mouse(driver.drawn(Drawn::Kind::panel, "panel")->x + 2, 795);
    CHECK_FALSE(driver.drawn(Drawn::Kind::hint));
    // A finger is not told: its hand would cover it.
    driver.put_finger("title:back");
    CHECK_FALSE(driver.drawn(Drawn::Kind::hint));
}

TEST_CASE("pointer: erase takes one character a tap, and goes on while it is held") {
    Pointed driver;
    go(driver, act::StartChange{driver.state().bike});
    go(driver, act::OpenTag{{.of = Field::Of::change, .point = Point::ride_height_static}});
    REQUIRE(driver.state().pad.has_value());
    driver.keys("123456");
    const auto held = [&] { return driver.state().pad->entry; };
    REQUIRE(held() == "123456");
    driver.tap("key:erase");
    CHECK(held() == "12345");
    const Rect key = *driver.screen().rect_of("key:erase");
    Session& session = driver.session();
    session.handle(PointerEvent{PointerEvent::Kind::down, key.middle_x(), key.middle_y(), true});
    session.frame(100);
    CHECK(held() == "12345");
    CHECK(session.wants_frame());
    session.frame(100.4);
    CHECK(held() == "12345");
    session.frame(100.6);
    CHECK(held() == "1234");
    session.frame(100.62);
    CHECK(held() == "1234");
    session.frame(100.8);
    session.frame(101);
    CHECK(held() == "12");
    // The finger that lifts has erased already.
    session.handle(PointerEvent{PointerEvent::Kind::up, key.middle_x(), key.middle_y(), true});
    driver.look();
    CHECK(held() == "12");
}

TEST_CASE("pointer: a plot is read by finger, by mouse and by the arrow keys") {
    Pointed driver;
    go(driver, act::ShowTrend{driver.state().bike, Watched::rider_sag, End::rear, Point::spring_free_length});
    REQUIRE(driver.page().drawing.readout.has_value());
    const auto& samples = driver.state().season.samples;
    REQUIRE(samples.size() > 2);
    CHECK(driver.readout().empty());
    const Drawn* plot = driver.drawn(Drawn::Kind::panel, "drawing");
    REQUIRE(plot);
    // At the left end: the first reading, as it was read.
    driver.put_finger(plot->x + 4, plot->y + plot->h / 2);
    driver.lift_finger();
    const std::string first = driver.readout();
    CAPTURE(first);
    CHECK(first.find("mm") != std::string::npos);
    char value[32];
    std::snprintf(value, sizeof value, "%.1f", samples.front().value);
    CHECK(first.find(value) != std::string::npos);
    // Along with the finger, to the last one.
    driver.put_finger(plot->x + 4, plot->y + plot->h / 2);
    driver.move_finger((plot->w - 8) / tablet.px_per_mm, 0);
    driver.lift_finger();
    std::snprintf(value, sizeof value, "%.1f", samples.back().value);
    CHECK(driver.readout().find(value) != std::string::npos);
    const std::string last = driver.readout();
    driver.mouse(plot->x + 4, plot->y + plot->h / 2);
    CHECK(driver.readout() == first);
    for (int i = 0; i < 70; ++i) driver.press(Key::right);
    CHECK(driver.readout() == last);
}

TEST_CASE("pointer: a curve is read between its points, in the units of its axes") {
    Readout plot;
    plot.x.name = "wheel travel", plot.x.unit = "mm", plot.x.zero = 10, plot.x.per_mm = 0.5;
    plot.y.unit = "N/mm", plot.y.zero = 2, plot.y.per_mm = 0.25, plot.y.decimals = 1;
    plot.low = 0, plot.high = 100, plot.top = 50;
    plot.curves = {{"tried", {{0, 0}, {100, 40}}, true}, {"as it is", {{0, 10}, {50, 10}}, true}};
    // x = 10 + 0.5 · 20, y = 2 + 0.25 · 8 and 2 + 0.25 · 10
    CHECK(readout_at(plot, 20) == "wheel travel 20 mm:  tried 4.0 N/mm · as it is 4.5 N/mm");
    // The second curve ends before.
    CHECK(readout_at(plot, 80) == "wheel travel 50 mm:  tried 10.0 N/mm");
    // Of single points the nearest is read, where it stands.
    plot.curves = {{"", {{0, 0}, {100, 40}}, false}};
    CHECK(readout_at(plot, 70) == "wheel travel 60 mm:  12.0 N/mm");
    plot.curves.clear();
    CHECK(readout_at(plot, 70).empty());
}
