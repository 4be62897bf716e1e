#pragma once
// One SDL window with its renderer. It takes SDL events and returns events of app/host.h. Pixels of the
// window are pixels of the picture (no SDL_WINDOW_ALLOW_HIGHDPI): one coordinate system. The density of the
// display enters only through Viewport::px_per_mm.
//
// What a frame leaves unchanged is not drawn again. Without a GPU the changed rectangles are drawn on the
// window's surface and handed over. With one they are drawn on a texture that keeps the picture, because what
// a window shows is lost with its next frame.

#include <memory>
#include <string>
#include <vector>

#include "app/host.h"
#include "core/quantity/result.h"
#include "platform/desktop/events.h"
#include "platform/desktop/renderer.h"

struct SDL_Texture;
struct SDL_Window;
struct SDL_WindowEvent;

namespace restand {

/// Pixels per millimetre from a display's dots per inch. The environment variable RESTAND_PX_PER_MM (2 to 40)
/// takes precedence. If the display reports no density or an implausible one (below 60 or above 800 dpi), 149
/// dpi is used, a 10-inch tablet's: nothing is then too small to hit.
float px_per_mm(float dots_per_inch);

class Window {
public:
    /// Who decides how large it is: a person by its edges, or a page by resize().
    enum class Sized { by_person, by_page };

    /// Opens the window, as large as asked for; for a person only as large as the screen allows. One window
    /// at a time. Error: io, with SDL's words (no display, no driver).
    static Result<std::unique_ptr<Window>> open(const std::string& title, int width_px, int height_px,
                                                Sized sized = Sized::by_person);
    ~Window();
    Window(const Window&) = delete;
    Window& operator=(const Window&) = delete;

    Viewport viewport() const;
    void resize(int width_px, int height_px);

    /// Adds to `out` what `event` means for the app. False: the person wants to leave.
    bool read(const SDL_Event& event, std::vector<Event>& out);

    /// The picture shown has been lost, or there was none yet; true until the next show().
    bool is_blank() const { return blank_; }

    /// The window is not visible (minimised): drawing can wait.
    bool is_hidden() const;
    void hide();

    /// Shows a frame. False: SDL refused (SDL_GetError says why); the next frame is then drawn as a whole.
    bool show(const ImDrawData& frame);

    /// Shows or hides the system's keyboard where it has one. Where it has none, typing is always received:
    /// gauges that type need no open field.
    void want_text(bool wanted);

private:
    Window(SDL_Window& window, SDL_Renderer& target);
    bool read_window(const SDL_WindowEvent& event, std::vector<Event>& out);
    void refit(std::vector<Event>& out);
    bool show_rectangles(const ImDrawData& frame);
    bool show_texture(const ImDrawData& frame);
    bool fit_texture();

    SDL_Window* window_;
    SDL_Renderer* target_;
    bool software_;
    SDL_Texture* picture_ = nullptr;  // with a GPU: the last frame
    std::unique_ptr<Renderer> renderer_;
    EventReader reader_;
    bool blank_ = true;
};

}  // namespace restand
