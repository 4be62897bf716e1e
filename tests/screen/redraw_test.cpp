// Only what changed is drawn again, and the picture is the one that a whole drawing gives, pixel by pixel.
#include <SDL.h>
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <random>
#include <string>
#include <vector>

#include "platform/desktop/picture.h"
#include "platform/desktop/renderer.h"
#include "platform/desktop/window.h"
#include "platform/session.h"
#include "tests/screen/paint_context.h"
#include "tests/screen/team.h"

using namespace restand;
using restand::test::PaintContext;

namespace {

// A surface that keeps its picture from frame to frame, as a window does. Green at first: pixels that nobody
// draws are seen.
class KeptSurface {
public:
    explicit KeptSurface(int width, int height)
        : surface_(SDL_CreateRGBSurfaceWithFormat(0, width, height, 32, SDL_PIXELFORMAT_RGBA32)),
          target_(SDL_CreateSoftwareRenderer(surface_)),
          renderer_(std::make_unique<Renderer>(*target_)) {
        SDL_FillRect(surface_, nullptr, SDL_MapRGB(surface_->format, 0, 255, 0));
    }
    ~KeptSurface() {
        renderer_.reset();
        SDL_DestroyRenderer(target_);
        SDL_FreeSurface(surface_);
    }
    KeptSurface(const KeptSurface&) = delete;
    KeptSurface& operator=(const KeptSurface&) = delete;

    const std::vector<PixelRect>& redraw(const ImDrawData& data) {
        CHECK(renderer_->redraw(data));
        SDL_RenderFlush(target_);
        return renderer_->redrawn();
    }
    Picture picture() const {
        Picture p{surface_->w, surface_->h, {}};
        for (int y = 0; y < surface_->h; ++y) {
            const auto* row = static_cast<const unsigned char*>(surface_->pixels) + y * surface_->pitch;
            p.rgba.insert(p.rgba.end(), row, row + 4 * surface_->w);
        }
        for (std::size_t i = 3; i < p.rgba.size(); i += 4) p.rgba[i] = 255;  // opaque pictures
        return p;
    }
    Renderer& renderer() { return *renderer_; }

private:
    SDL_Surface* surface_;
    SDL_Renderer* target_;
    std::unique_ptr<Renderer> renderer_;
};

Picture whole(const ImDrawData* data, const Viewport& viewport) {
    auto picture = render(data, viewport);
    REQUIRE_MESSAGE(picture.has_value(), picture.error().detail);
    return std::move(picture).value();
}

// Pixels in which two pictures differ, outside the rectangles made smaller by `less` on each side.
long differ_outside(const Picture& a, const Picture& b, const std::vector<PixelRect>& areas, int less) {
    long count = 0;
    for (int y = 0; y < a.height; ++y)
        for (int x = 0; x < a.width; ++x) {
            const std::size_t i = 4 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(a.width) +
                                       static_cast<std::size_t>(x));
            if (std::equal(a.rgba.begin() + static_cast<std::ptrdiff_t>(i),
                           a.rgba.begin() + static_cast<std::ptrdiff_t>(i + 4),
                           b.rgba.begin() + static_cast<std::ptrdiff_t>(i)))
                continue;
            count += std::none_of(areas.begin(), areas.end(), [&](const PixelRect& r) {
                return x >= r.x + less && x < r.x + r.w - less && y >= r.y + less && y < r.y + r.h - less;
            });
        }
    return count;
}

long area_of(const std::vector<PixelRect>& areas) {
    long all = 0;
    for (const PixelRect& r : areas) all += static_cast<long>(r.w) * r.h;
    return all;
}

// The demo workshop, worked on at random.
class Walk {
public:
    Walk(const Viewport& viewport, std::uint32_t seed) : random_(seed) {
        folder_ = std::filesystem::temp_directory_path() /
                  ("restand-redraw-" + std::to_string(std::random_device{}()));
        std::filesystem::create_directories(folder_);
        std::filesystem::copy_file(test::demo_file(), folder_ / "demo.restand");
        auto opened = Session::open(folder_ / "demo.restand", viewport, {});
        REQUIRE(opened.has_value());
        session_ = std::move(*opened);
        const Ledger& ledger = session_->app().state().ledger;
        session_->act(act::SetPerson{ledger.people().front()->id});
    }
    ~Walk() {
        session_.reset();
        std::error_code ignored;
        std::filesystem::remove_all(folder_, ignored);
    }
    Walk(const Walk&) = delete;
    Walk& operator=(const Walk&) = delete;

    const ImDrawData* next() {
        switch (any(10)) {
            case 0:
                go();
                break;
            case 1:
                session_->handle(WheelEvent{0, any(2) ? 2.0f : -2.0f});
                break;
            case 2:
                session_->handle(KeyEvent{any(3) ? Key::tab : Key::escape});
                break;
            case 3:
            case 4:
            case 5:
                session_->handle(TextEvent{std::to_string(any(10))});
                break;
            default:
                tap();
        }
        session_->settle();
        return session_->frame(0);
    }

private:
    std::size_t any(std::size_t count) { return random_() % count; }

    void go() {
        const Ledger& ledger = session_->app().state().ledger;
        const auto bikes = ledger.bikes();
        const Id bike = bikes[any(bikes.size())]->id;
        const Swap* open = ledger.open_swap(bike);
        const std::vector<Action> pages = {
            act::Go{Screen::bikes, {}},
            act::Go{Screen::bike, bike},
            act::Go{Screen::history, bike},
            act::Go{Screen::baselines, bike},
            act::Go{Screen::settings, {}},
            act::ShowAttitude{bike},
            act::ShowChain{bike},
            act::EditBike{bike},
            open ? Action(act::ResumeSwap{open->id}) : Action(act::ChooseParts{bike}),
            open ? Action(act::GoToStep{static_cast<Step6>(any(step_count))})
                 : Action(act::StartChange{bike})};
        session_->act(pages[any(pages.size())]);
    }

    void tap() {
        std::vector<std::string> ids;
        for (const Drawn& d : session_->app().screen().drawn())
            if (d.kind == Drawn::Kind::touch) ids.push_back(d.id);
        if (ids.empty()) return;
        const auto at = session_->app().screen().rect_of(ids[any(ids.size())]);
        if (!at) return;
        session_->handle(PointerEvent{PointerEvent::Kind::down, at->middle_x(), at->middle_y(), any(2) == 0});
        session_->frame(0);
        session_->handle(PointerEvent{PointerEvent::Kind::up, at->middle_x(), at->middle_y(), any(2) == 0});
    }

    std::filesystem::path folder_;
    std::mt19937 random_;
    std::unique_ptr<Session> session_;
};

}  // namespace

TEST_CASE("redraw: pages and digits at random give the pixels of a whole drawing") {
    int partial = 0, caught = 0;
    for (const Viewport& viewport : {Viewport{1280, 800, 5.87f}, Viewport{800, 480, 5.1f}}) {
        Walk walk(viewport, 7);
        KeptSurface kept(viewport.width_px, viewport.height_px);
        Picture before;
        for (int i = 0; i < 90; ++i) {
            const ImDrawData* data = walk.next();
            const auto& areas = kept.redraw(*data);
            const Picture now = whole(data, viewport);
            REQUIRE_MESSAGE(differ_outside(kept.picture(), now, {}, 0) == 0, "frame " << i);
            const bool part = area_of(areas) < static_cast<long>(viewport.width_px) * viewport.height_px;
            partial += part;
            // The control: with rectangles a quarter of a tile smaller, changes would have been missed.
            if (part && !before.rgba.empty()) caught += differ_outside(before, now, areas, 8) > 0;
            before = now;
        }
    }
    CHECK(partial > 40);
    CHECK(caught > 20);
}

TEST_CASE("redraw: one rectangle that moves draws its old and its new place, and nothing else") {
    PaintContext ink(640, 480);
    KeptSurface kept(640, 480);
    const auto at = [&](float x) {
        return ink.frame([x](ImDrawList& l) {
            l.AddRectFilled({0, 0}, {640, 480}, IM_COL32(30, 30, 30, 255));
            l.AddRectFilled({x, 100}, {x + 20, 120}, IM_COL32_WHITE);
            l.AddText({300, 300}, IM_COL32_WHITE, "312.5 mm");
        });
    };
    CHECK(kept.redraw(*at(70)) == std::vector<PixelRect>{{0, 0, 640, 480}});
    CHECK(kept.redraw(*at(70)).empty());
    // 70 to 90 touches the tiles from 64 to 96; 403 to 423 those from 384 to 448; both the row from 96 to 128.
    const ImDrawData* moved = at(403);
    CHECK(kept.redraw(*moved) == std::vector<PixelRect>{{64, 96, 32, 32}, {384, 96, 64, 32}});
    CHECK(kept.picture() == whole(moved, {640, 480, 5.87f}));
}

TEST_CASE("redraw: what lies on top, a lost picture, another size and another atlas are noticed") {
    PaintContext ink(640, 480);
    KeptSurface kept(640, 480);
    const Viewport viewport{640, 480, 5.87f};
    const auto both = [&](bool red_on_top) {
        return ink.frame([=](ImDrawList& l) {
            const ImU32 red = IM_COL32(255, 0, 0, 255), white = IM_COL32_WHITE;
            l.AddRectFilled({200, 200}, {230, 230}, red_on_top ? white : red);
            l.AddRectFilled({200, 200}, {230, 230}, red_on_top ? red : white);
            l.AddText({20, 40}, white, "312.5 mm");
        });
    };
    (void)kept.redraw(*both(true));
    // The same two rectangles in the other order.
    const ImDrawData* data = both(false);
    CHECK(kept.redraw(*data).size() == 1);
    CHECK(kept.picture() == whole(data, viewport));
    kept.renderer().forget_picture();
    CHECK(kept.redraw(*data) == std::vector<PixelRect>{{0, 0, 640, 480}});
    ink.set_font(24);
    data = both(false);
    CHECK(kept.redraw(*data) == std::vector<PixelRect>{{0, 0, 640, 480}});
    CHECK(kept.picture() == whole(data, viewport));
    CHECK(kept.redraw(*both(false)).empty());
    ImGui::GetIO().DisplaySize = {320, 480};
    CHECK(kept.redraw(*both(false)) == std::vector<PixelRect>{{0, 0, 320, 480}});
}

TEST_CASE("redraw: a scaled letter at the edge of what changed keeps its pixels") {
    PaintContext ink(640, 480);
    KeptSurface kept(640, 480);
    const auto text = [&](float size, const char* second) {
        return ink.frame([=](ImDrawList& l) {
            l.AddRectFilled({0, 0}, {640, 480}, IM_COL32(250, 250, 250, 255));
            for (int row = 0; row < 12; ++row)
                l.AddText(nullptr, size, {7.0f, 11.0f + 37.0f * static_cast<float>(row)}, IM_COL32_BLACK,
                          row == 6 ? second : "0123456789 mm 0123456789 mm 0123456789");
        });
    };
    for (const float size : {17.0f, 22.5f, 30.0f, 41.0f, 63.0f}) {
        (void)kept.redraw(*text(size, "0123456789 mm 0123456789 mm 0123456789"));
        const ImDrawData* data = text(size, "0123456789 mm 8123456789 mm 0123456789");
        CHECK(area_of(kept.redraw(*data)) < 640 * 480 / 4);
        CHECK(differ_outside(kept.picture(), whole(data, {640, 480, 5.87f}), {}, 0) == 0);
    }
}

TEST_CASE("redraw: a window shows the whole picture, though only what changed is handed over") {
    SDL_setenv("SDL_VIDEODRIVER", "dummy", 1);
    const auto opened = Window::open("restand test", 400, 200);
    REQUIRE(opened.has_value());
    Window& window = **opened;
    SDL_Window* inner = nullptr;
    for (Uint32 id = 0; !inner && id < 1000; ++id) inner = SDL_GetWindowFromID(id);
    REQUIRE(inner);
    PaintContext ink(400, 200);
    const ImDrawData* frame = nullptr;
    const auto show = [&](float left) {
        frame = ink.frame([left](ImDrawList& l) {
            l.AddRectFilled({0, 0}, {50, 50}, IM_COL32_WHITE);
            l.AddRectFilled({left, 100}, {left + 30, 120}, IM_COL32(255, 0, 0, 255));
        });
        CHECK(window.show(*frame));
    };
    // True if the window's surface holds the picture of the last frame.
    const auto is_whole = [&] {
        const SDL_Surface* shown = SDL_GetWindowSurface(inner);
        const Picture picture = whole(frame, window.viewport());
        REQUIRE(shown->w == picture.width);
        REQUIRE(shown->h == picture.height);
        for (int i = 0; i < shown->w * shown->h; ++i) {
            const auto* row = static_cast<const unsigned char*>(shown->pixels) + i / shown->w * shown->pitch;
            Uint8 red, green, blue;
            SDL_GetRGB(reinterpret_cast<const Uint32*>(row)[i % shown->w], shown->format, &red, &green,
                       &blue);
            const auto* p = picture.rgba.data() + 4 * i;
            if (p[0] != red || p[1] != green || p[2] != blue) return false;
        }
        return true;
    };
    const auto tell = [&](SDL_WindowEventID id) {
        SDL_Event event{};
        event.type = SDL_WINDOWEVENT;
        event.window.event = static_cast<Uint8>(id);
        std::vector<Event> heard;
        CHECK(window.read(event, heard));
    };
    for (const float left : {60.0f, 90.0f, 300.0f, 300.0f, 10.0f}) {
        show(left);
        CHECK(is_whole());
    }
    SDL_SetWindowSize(inner, 320, 240);
    SDL_PumpEvents();
    tell(SDL_WINDOWEVENT_SIZE_CHANGED);
    ImGui::GetIO().DisplaySize = {320, 240};
    show(10);
    CHECK(is_whole());
    // The control: a picture drawn over is noticed. It is shown again when the system has lost it.
    SDL_FillRect(SDL_GetWindowSurface(inner), nullptr, 0x123456);
    show(10);
    CHECK_FALSE(is_whole());
    tell(SDL_WINDOWEVENT_EXPOSED);
    show(10);
    CHECK(is_whole());
}

namespace {

// While it lives, SDL is given no memory.
class NoMemory {
public:
    NoMemory() {
        SDL_GetMemoryFunctions(&make_, &make_zeroed_, &remake_, &free_);
        SDL_SetMemoryFunctions([](std::size_t) -> void* { return nullptr; },
                               [](std::size_t, std::size_t) -> void* { return nullptr; },
                               [](void*, std::size_t) -> void* { return nullptr; }, free_);
    }
    ~NoMemory() { SDL_SetMemoryFunctions(make_, make_zeroed_, remake_, free_); }
    NoMemory(const NoMemory&) = delete;
    NoMemory& operator=(const NoMemory&) = delete;

private:
    SDL_malloc_func make_ = nullptr;
    SDL_calloc_func make_zeroed_ = nullptr;
    SDL_realloc_func remake_ = nullptr;
    SDL_free_func free_ = nullptr;
};

}  // namespace

TEST_CASE(
    "redraw: after a frame that could not be drawn the next one is drawn as a whole; none comes by itself") {
    SDL_setenv("SDL_VIDEODRIVER", "dummy", 1);
    auto opened = Window::open("restand test", 400, 200);
    REQUIRE_MESSAGE(opened.has_value(), opened.error().detail);
    Window& shown = **opened;
    PaintContext ink;
    CHECK(shown.show(*ink.frame([](ImDrawList& l) { l.AddRectFilled({0, 0}, {50, 50}, IM_COL32_WHITE); })));
    const ImDrawData* frame = ink.frame([](ImDrawList& l) {
        for (int i = 0; i < 2000; ++i) {
            const float x = static_cast<float>(i % 100), y = static_cast<float>(i / 100);
            l.AddTriangleFilled({100 + x, 100 + y}, {101 + x, 100 + y}, {100 + x, 101 + y}, IM_COL32_WHITE);
        }
    });
    {
        const NoMemory none;
        CHECK_FALSE(shown.show(*frame));
    }
    CHECK_FALSE(shown.is_blank());  // the loop draws no frame for it
    SDL_Window* window = nullptr;
    for (Uint32 id = 1; !window && id < 1000; ++id) window = SDL_GetWindowFromID(id);
    REQUIRE(window);
    SDL_Surface* surface = SDL_GetWindowSurface(window);
    REQUIRE(surface);
    SDL_FillRect(surface, nullptr, SDL_MapRGB(surface->format, 0, 255, 0));
    CHECK(shown.show(*frame));
    Uint8 red = 1, green = 1, blue = 1;
    const auto* row = static_cast<const Uint8*>(surface->pixels) + 190 * surface->pitch;
    SDL_GetRGB(reinterpret_cast<const Uint32*>(row)[390], surface->format, &red, &green, &blue);
    CHECK(red + green + blue == 0);
}
