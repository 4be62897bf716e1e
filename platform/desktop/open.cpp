#include "platform/desktop/open.h"

#include <ostream>

#include "app/sentences.h"
#include "platform/desktop/loop.h"
#include "platform/desktop/window.h"
#include "platform/first_frame.h"
#include "platform/session.h"

namespace restand {

int open_app(const std::filesystem::path& workshop, std::ostream& err) {
    // The window first: where none can be opened, no workshop file is made.
    const auto window = Window::open("Restand", 1280, 800);
    if (!window) {
        err << "restand: no window can be opened: " << window.error().detail << "\n";
        return no_window;
    }
    watch_first_frame(task_folders(workshop.string()).rejected);
    const auto session = Session::open(workshop, (*window)->viewport(), [] { wake(); });
    if (!session) {
        err << "restand: " << sentence(session.error()) << "\n";
        return 2;
    }
    Loop loop(**session, **window);
    while (loop.step())
        if (loop.frames() > 0) first_frame_drawn();
    // Closes the window before waiting for the last reading's sync and the end of a copy's check.
    (*window)->hide();
    return 0;
}

}  // namespace restand
