#include "platform/desktop/window.h"

#include <SDL.h>

#include <algorithm>
#include <cstdlib>

namespace restand {
namespace {

constexpr float mm_per_inch = 25.4f;
constexpr float tablet_dpi = 149.0f;

void set_hints() {
    // SDL must not translate mouse events into finger events or back.
    SDL_SetHint(SDL_HINT_TOUCH_MOUSE_EVENTS, "0");
    SDL_SetHint(SDL_HINT_MOUSE_TOUCH_EVENTS, "0");
    // The click that raises the window also acts on what is under it.
    SDL_SetHint(SDL_HINT_MOUSE_FOCUS_CLICKTHROUGH, "1");
    SDL_SetHint(SDL_HINT_RENDER_BATCHING, "1");
    // A window's surface is handed to the display as it is. By default SDL makes a texture of it, whole, however
    // little changed: 5 ms without a GPU.
    SDL_SetHint(SDL_HINT_FRAMEBUFFER_ACCELERATION, "0");
}

Error refused() {
    return {ErrorCode::io, "window", SDL_GetError()};
}

// Never larger than the screen allows.
void fit_to_screen(int& width, int& height) {
    SDL_Rect room{};
    if (SDL_GetDisplayUsableBounds(0, &room) != 0 || room.w < 1 || room.h < 1) return;
    width = std::min(width, room.w);
    height = std::min(height, room.h);
}

SDL_Renderer* make_renderer(SDL_Window* window) {
    SDL_Renderer* target =
        SDL_CreateRenderer(window, -1, SDL_RENDERER_ACCELERATED | SDL_RENDERER_PRESENTVSYNC);
    return target ? target : SDL_CreateRenderer(window, -1, SDL_RENDERER_SOFTWARE);
}

bool is_software(SDL_Renderer* target) {
    SDL_RendererInfo info{};
    return SDL_GetRendererInfo(target, &info) == 0 && (info.flags & SDL_RENDERER_SOFTWARE) != 0;
}

}  // namespace

float px_per_mm(float dots_per_inch) {
    if (const char* asked = std::getenv("RESTAND_PX_PER_MM")) {
        const float value = std::strtof(asked, nullptr);
        if (value >= 2.0f && value <= 40.0f) return value;
    }
    const bool sensible = dots_per_inch >= 60.0f && dots_per_inch <= 800.0f;
    return (sensible ? dots_per_inch : tablet_dpi) / mm_per_inch;
}

Result<std::unique_ptr<Window>> Window::open(const std::string& title, int width_px, int height_px,
                                             Sized sized) {
    set_hints();
    if (SDL_InitSubSystem(SDL_INIT_VIDEO) != 0) return refused();
    const bool by_person = sized == Sized::by_person;
    if (by_person) fit_to_screen(width_px, height_px);
    SDL_Window* window = SDL_CreateWindow(title.c_str(), SDL_WINDOWPOS_CENTERED, SDL_WINDOWPOS_CENTERED,
                                          width_px, height_px, by_person ? SDL_WINDOW_RESIZABLE : 0);
    SDL_Renderer* target = window ? make_renderer(window) : nullptr;
    if (!target) {
        const Error error = refused();
        if (window) SDL_DestroyWindow(window);
        SDL_QuitSubSystem(SDL_INIT_VIDEO);
        return error;
    }
    return std::unique_ptr<Window>(new Window(*window, *target));
}

Window::Window(SDL_Window& window, SDL_Renderer& target)
    : window_(&window),
      target_(&target),
      software_(is_software(&target)),
      renderer_(std::make_unique<Renderer>(target)) {
    reader_.set_viewport(viewport());
    want_text(false);
}

Window::~Window() {
    renderer_.reset();
    if (picture_) SDL_DestroyTexture(picture_);
    SDL_DestroyRenderer(target_);
    SDL_DestroyWindow(window_);
    SDL_QuitSubSystem(SDL_INIT_VIDEO);
}

Viewport Window::viewport() const {
    Viewport viewport;
    SDL_GetWindowSize(window_, &viewport.width_px, &viewport.height_px);
    float dots_per_inch = 0;
    if (SDL_GetDisplayDPI(std::max(0, SDL_GetWindowDisplayIndex(window_)), &dots_per_inch, nullptr,
                          nullptr) != 0) {
        dots_per_inch = 0;
    }
    viewport.px_per_mm = px_per_mm(dots_per_inch);
    return viewport;
}

void Window::resize(int width_px, int height_px) {
    SDL_SetWindowSize(window_, width_px, height_px);
}

void Window::hide() {
    SDL_HideWindow(window_);
}

bool Window::is_hidden() const {
    return (SDL_GetWindowFlags(window_) & (SDL_WINDOW_MINIMIZED | SDL_WINDOW_HIDDEN)) != 0;
}

bool Window::read(const SDL_Event& event, std::vector<Event>& out) {
    switch (event.type) {
        case SDL_QUIT:
            return false;
        case SDL_WINDOWEVENT:
            return read_window(event.window, out);
        case SDL_RENDER_DEVICE_RESET:
            renderer_->forget();
            if (picture_) SDL_DestroyTexture(picture_);
            picture_ = nullptr;
            [[fallthrough]];
        case SDL_RENDER_TARGETS_RESET:
            blank_ = true;
            return true;
        default:
            reader_.read(event, out);
            return true;
    }
}

bool Window::read_window(const SDL_WindowEvent& event, std::vector<Event>& out) {
    switch (event.event) {
        case SDL_WINDOWEVENT_CLOSE:
            return false;
        case SDL_WINDOWEVENT_SIZE_CHANGED:
        case SDL_WINDOWEVENT_DISPLAY_CHANGED:
            refit(out);
            return true;
        case SDL_WINDOWEVENT_SHOWN:
        case SDL_WINDOWEVENT_EXPOSED:
        case SDL_WINDOWEVENT_RESTORED:
            blank_ = true;
            return true;
        case SDL_WINDOWEVENT_FOCUS_LOST:
            reader_.cancel(out);
            return true;
        case SDL_WINDOWEVENT_LEAVE:
            reader_.leave(out);
            return true;
        default:
            return true;
    }
}

void Window::refit(std::vector<Event>& out) {
    const Viewport now = viewport();
    reader_.set_viewport(now);
    out.emplace_back(ResizeEvent{now});
    blank_ = true;
}

bool Window::show(const ImDrawData& frame) {
    if (blank_) renderer_->forget_picture();
    blank_ = false;
    const bool shown = software_ ? show_rectangles(frame) : show_texture(frame);
    // The next frame draws everything. None is asked for here: one that is refused again and again would keep
    // the processor busy.
    if (!shown) renderer_->forget_picture();
    return shown;
}

// SDL's software renderer draws on the window's surface, which keeps its pixels.
bool Window::show_rectangles(const ImDrawData& frame) {
    bool shown = renderer_->redraw(frame);
    shown = SDL_RenderFlush(target_) == 0 && shown;
    std::vector<SDL_Rect> changed;
    for (const PixelRect& r : renderer_->redrawn()) changed.push_back({r.x, r.y, r.w, r.h});
    if (changed.empty()) return shown;
    return SDL_UpdateWindowSurfaceRects(window_, changed.data(), static_cast<int>(changed.size())) == 0 &&
           shown;
}

bool Window::show_texture(const ImDrawData& frame) {
    if (!fit_texture()) {  // a GPU that cannot draw on textures: the whole picture each time
        renderer_->forget_picture();
        const bool shown = renderer_->redraw(frame);
        SDL_RenderPresent(target_);
        return shown;
    }
    bool shown = SDL_SetRenderTarget(target_, picture_) == 0;
    shown = renderer_->redraw(frame) && shown;
    SDL_SetRenderTarget(target_, nullptr);
    shown = SDL_RenderCopy(target_, picture_, nullptr, nullptr) == 0 && shown;
    SDL_RenderPresent(target_);
    return shown;
}

// The texture is as large as the window; a new one holds no picture yet.
bool Window::fit_texture() {
    if (!SDL_RenderTargetSupported(target_)) return false;
    int width = 0, height = 0, wide = 0, high = 0;
    if (SDL_GetRendererOutputSize(target_, &width, &height) != 0) return false;
    if (picture_ && SDL_QueryTexture(picture_, nullptr, nullptr, &wide, &high) == 0 && wide == width &&
        high == height)
        return true;
    if (picture_) SDL_DestroyTexture(picture_);
    picture_ = SDL_CreateTexture(target_, SDL_PIXELFORMAT_ARGB8888, SDL_TEXTUREACCESS_TARGET, width, height);
    if (!picture_) return false;
    SDL_SetTextureBlendMode(picture_, SDL_BLENDMODE_NONE);
    renderer_->forget_picture();
    return true;
}

void Window::want_text(bool wanted) {
    const bool listen = wanted || !SDL_HasScreenKeyboardSupport();
    if (listen == (SDL_IsTextInputActive() == SDL_TRUE)) return;
    listen ? SDL_StartTextInput() : SDL_StopTextInput();
}

}  // namespace restand
