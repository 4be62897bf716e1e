#pragma once
// One SDL window with its renderer: what SDL reports goes in, events of app/host.h come out.
// Pixels of the window are pixels of the picture (no SDL_WINDOW_ALLOW_HIGHDPI): one system of coordinates,
// the density of the display enters only through Viewport::px_per_mm.

#include <memory>
#include <string>
#include <vector>

#include "app/host.h"
#include "core/quantity/result.h"
#include "platform/desktop/events.h"
#include "platform/desktop/renderer.h"

struct SDL_Window;
struct SDL_WindowEvent;

namespace restand {

/// Pixels per millimetre from a display's dots per inch. The environment's RESTAND_PX_PER_MM (2 to 40) goes
/// first; a display that tells nothing or nonsense (below 60 or above 800 dpi) gets 149 dpi, a 10-inch
/// tablet's, on which nothing comes out too small to be hit.
float px_per_mm(float dots_per_inch);

class Window {
public:
    /// Opens the window, as large as asked for or as the screen allows. One window at a time.
    /// Error: io, with SDL's words (no display, no driver).
    static Result<std::unique_ptr<Window>> open(const std::string& title, int width_px, int height_px);
    ~Window();
    Window(const Window&) = delete;
    Window& operator=(const Window&) = delete;

    Viewport viewport() const;

    /// Adds to `out` what `event` means for the app. False: the person wants to leave.
    bool read(const SDL_Event& event, std::vector<Event>& out);

    /// What was on the glass has been lost, or never was there; true until the next show().
    bool is_blank() const { return blank_; }

    /// Nobody sees the glass now (minimised): drawing can wait.
    bool is_hidden() const;
    void hide();

    /// Puts a frame on the glass. False: SDL refused (SDL_GetError says why).
    bool show(const ImDrawData& frame);

    /// Shows or hides the system's keyboard where it has one. Where it has none, typing is always heard:
    /// gauges that type need no field to be open.
    void want_text(bool wanted);

private:
    Window(SDL_Window& window, SDL_Renderer& target);
    bool read_window(const SDL_WindowEvent& event, std::vector<Event>& out);
    void refit(std::vector<Event>& out);

    SDL_Window* window_;
    SDL_Renderer* target_;
    std::unique_ptr<Renderer> renderer_;
    EventReader reader_;
    bool blank_ = true;
};

}  // namespace restand
