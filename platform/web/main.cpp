// The app in a browser page: the canvas is its window, and the browser calls one turn of the loop for each picture
// it is about to show. page.js has loaded the stored files before main() begins.
//
// 1. A page that shows what it should takes no turns: an event, or a quarter of a second, brings the next one.
// 2. The picture has the display's pixels; the page's own are larger on most tablets.

#include <SDL.h>
#include <emscripten.h>
#include <emscripten/html5.h>

#include <algorithm>
#include <cstdlib>
#include <iostream>
#include <memory>
#include <string>
#include <utility>

#include "app/sentences.h"
#include "platform/desktop/loop.h"
#include "platform/desktop/window.h"
#include "platform/session.h"
#include "platform/web/storage.h"

// clang-format off
EM_JS(int, page_width_px, (), { return Math.max(1, Math.round(Module.canvas.clientWidth * devicePixelRatio)); });
EM_JS(int, page_height_px, (), { return Math.max(1, Math.round(Module.canvas.clientHeight * devicePixelRatio)); });
EM_JS(double, page_px_per_mm, (), { return Module.pixelsPerMillimetre(); });
EM_JS(void, say_on_page, (const char* sentence), { Module.say(UTF8ToString(sentence)); });
EM_JS(void, page_has_begun, (), { Module.begun(); });
// clang-format on

namespace {

constexpr int look_again_ms = 250;  // for what changes with time

struct Page {
    std::unique_ptr<restand::Window> window;
    std::unique_ptr<restand::Session> session;
    std::unique_ptr<restand::Loop> loop;
    bool resting = false;
    bool begun = false;
    std::string answer;  // of the last question of the page's
};
Page page;

void go_on() {
    if (!std::exchange(page.resting, false)) return;
    emscripten_resume_main_loop();
}

void turn() {
    (void)page.loop->step(0);  // a page is closed by its browser
    if (page.loop->frames() > 0 && !std::exchange(page.begun, true)) page_has_begun();
    if (page.session->wants_frame() || SDL_HasEvents(SDL_FIRSTEVENT, SDL_LASTEVENT)) return;
    page.resting = true;
    emscripten_pause_main_loop();
}

void take_density() {
    ::setenv("RESTAND_PX_PER_MM", std::to_string(page_px_per_mm()).c_str(), 1);
}

EM_BOOL resized(int, const EmscriptenUiEvent*, void*) {
    take_density();
    page.window->resize(page_width_px(), page_height_px());
    go_on();
    return EM_FALSE;
}

int refuse(const std::string& sentence) {
    say_on_page(sentence.c_str());
    return 2;
}

}  // namespace

// What the page shows, for whoever cannot see the canvas; nothing before the app has begun.
extern "C" {

// Frames drawn so far.
EMSCRIPTEN_KEEPALIVE int restand_frames() {
    return page.loop ? static_cast<int>(page.loop->frames()) : 0;
}

// Nothing waits to be shown.
EMSCRIPTEN_KEEPALIVE int restand_rests() {
    return page.resting ? 1 : 0;
}

// The texts of the last frame, a line each: the target or panel it stands in, a tab, the text.
EMSCRIPTEN_KEEPALIVE const char* restand_text() {
    page.answer.clear();
    if (!page.session) return page.answer.c_str();
    for (const restand::Drawn& drawn : page.session->app().screen().drawn())
        if (drawn.kind == restand::Drawn::Kind::text) page.answer += drawn.id + "\t" + drawn.text + "\n";
    return page.answer.c_str();
}

// Where to tap, in the picture's pixels: "x y width height"; empty when the target is not in view. What scrolls is
// brought into view for the next frame.
EMSCRIPTEN_KEEPALIVE const char* restand_target(const char* id) {
    if (!page.session) return page.answer.assign("").c_str();
    restand::PageScreen& screen = page.session->app().screen();
    const auto at = screen.rect_of(id);
    if (!at) screen.show(id), go_on();
    page.answer = at ? std::to_string(at->x) + " " + std::to_string(at->y) + " " + std::to_string(at->w) +
                           " " + std::to_string(at->h)
                     : "";
    return page.answer.c_str();
}

}  // extern "C"

int main() {
    using namespace restand;
    take_density();
    auto window = Window::open("Restand", page_width_px(), page_height_px(), Window::Sized::by_page);
    if (!window) return refuse("This browser cannot draw: " + window.error().detail);
    auto session = Session::open(std::string(browser_folder) + "/workshop.restand", (*window)->viewport(),
                                 [] { wake(); });
    if (!session) return refuse(sentence(session.error()));
    page.window = std::move(*window);
    page.session = std::move(*session);
    page.loop = std::make_unique<Loop>(*page.session, *page.window);

    const auto on_event = [](void*, SDL_Event*) {
        go_on();
        return 0;
    };
    SDL_AddEventWatch(on_event, nullptr);
    emscripten_set_resize_callback(EMSCRIPTEN_EVENT_TARGET_WINDOW, nullptr, EM_FALSE, resized);
    emscripten_set_interval([](void*) { go_on(); }, look_again_ms, nullptr);
    emscripten_set_main_loop(turn, 0, 0);
    return 0;
}
