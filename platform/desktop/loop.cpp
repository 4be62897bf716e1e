#include "platform/desktop/loop.h"

#include <SDL.h>

namespace restand {
namespace {

// Seconds on a monotonic clock; its zero is the program's start.
double now() {
    return static_cast<double>(SDL_GetTicks64()) / 1000.0;
}

}  // namespace

bool wake() {
    SDL_Event event{};
    event.type = SDL_USEREVENT;
    return SDL_PushEvent(&event) == 1;
}

Loop::Loop(Host& host, Window& window) : host_(host), window_(window) {
    host_.handle(ResizeEvent{window_.viewport()});
}

bool Loop::frame_is_due() const {
    return !window_.is_hidden() && (window_.is_blank() || host_.wants_frame());
}

bool Loop::step(int patience_ms) {
    SDL_Event event;
    bool stays = true;
    events_.clear();
    if (!frame_is_due() && SDL_WaitEventTimeout(&event, patience_ms)) stays = window_.read(event, events_);
    while (stays && SDL_PollEvent(&event)) stays = window_.read(event, events_);

    for (const Event& each : events_) host_.handle(each);
    if (!stays) return false;
    if (frame_is_due()) draw();
    window_.want_text(host_.wants_text());
    return true;
}

void Loop::draw() {
    const ImDrawData* frame = host_.frame(now());
    check(frame != nullptr, "a stage always has a frame to show");
    window_.show(*frame);
    ++frames_;
}

}  // namespace restand
