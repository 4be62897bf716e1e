// Every kind of page in every viewport, with the smallest, usual and largest letters: nothing cut off,
// nothing overlapping, every target large enough. Sizes: look.md's 12, 15 and 20 mm (Colle & Hiszem 2004 for
// 20 mm).
#include <doctest/doctest.h>

#include "tests/screen/walk.h"
#include "tests/screen/widget_pages.h"

using namespace restand;

namespace {

constexpr Viewport page_viewports[] = {
    {1280, 800, 5.87f}, {800, 1280, 5.87f}, {1920, 1080, 6.4f}, {1920, 1080, 3.2f}};

std::size_t count(const PageScreen& screen, Drawn::Kind kind) {
    std::size_t n = 0;
    for (const Drawn& drawn : screen.drawn()) n += drawn.kind == kind;
    return n;
}

}  // namespace

TEST_CASE("sheet: no faults on any glass at any size of letters") {
    for (const Viewport& viewport : page_viewports) {
        for (const int percent : {80, 100, 140, 200}) {
            PageScreen screen(viewport);
            for (auto& [name, view] : pages::all()) {
                view.text_percent = percent;
                screen.draw(view);
                const auto& which = name;
                CAPTURE(which);
                CAPTURE(viewport.width_px);
                CAPTURE(viewport.px_per_mm);
                CAPTURE(percent);
                for (const std::string& fault : faults(screen, viewport)) FAIL_CHECK(fault);
                if (!view.pad) CHECK(count(screen, Drawn::Kind::tag) == view.drawing.tags.size());
            }
        }
    }
}

TEST_CASE("sheet: the tag being filled is always shown") {
    for (const Viewport& viewport : page_viewports) {
        for (const int percent : {80, 100, 200}) {
            PageScreen screen(viewport);
            PageView view = pages::pad();
            view.text_percent = percent;
            screen.draw(view);
            CAPTURE(viewport.width_px);
            CAPTURE(percent);
            CHECK(screen.rect_of("tag:before:eye_to_eye").has_value());
        }
    }
}

TEST_CASE("walk: finds targets that are too small, and text that was cut off") {
    PageScreen screen({1280, 800, 5.87f});
    screen.draw(pages::pad());
    CHECK(faults(screen, {1280, 800, 5.87f}).empty());
    // With more pixels per millimetre, the same pixels are fewer millimetres.
    CHECK_FALSE(faults(screen, {1280, 800, 9.0f}).empty());
    // In a smaller viewport something lies outside.
    CHECK_FALSE(faults(screen, {1000, 800, 5.87f}).empty());
}

TEST_CASE("sheet: the same view drawn twice is the same frame") {
    PageScreen one({1280, 800, 5.87f}), two({1280, 800, 5.87f});
    one.draw(pages::before());
    two.draw(pages::before());
    two.draw(pages::before());
    REQUIRE(one.drawn().size() == two.drawn().size());
    for (std::size_t i = 0; i < one.drawn().size(); ++i)
        CHECK(one.drawn()[i].area() == two.drawn()[i].area());
}

TEST_CASE("drawing: a number typed into a tag moves no tag") {
    PageScreen screen({1280, 800, 5.87f});
    PageView view = pages::pad();
    view.drawing.tags[1].value = "";
    screen.draw(view);
    const auto before = screen.drawn();
    view.drawing.tags[1].value = "309.8";
    screen.draw(view);
    for (const Drawn& drawn : screen.drawn()) {
        if (drawn.kind != Drawn::Kind::tag) continue;
        const auto same = std::find_if(before.begin(), before.end(), [&](const Drawn& d) {
            return d.kind == Drawn::Kind::tag && d.id == drawn.id;
        });
        REQUIRE(same != before.end());
        CHECK(same->area().middle_x() == doctest::Approx(drawn.area().middle_x()));
        CHECK(same->area().middle_y() == doctest::Approx(drawn.area().middle_y()));
    }
}
