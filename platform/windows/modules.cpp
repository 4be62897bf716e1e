// On Windows the program holds the window itself; it has neither paper nor a server.

#include "platform/modules/modules.h"

#include "platform/desktop/open.h"
#include "platform/desktop/screens.h"

namespace restand {

Result<const WindowModule*> window_module() {
    static constexpr WindowModule window{RESTAND_VERSION, open_app, write_screens};
    return &window;
}

Result<const PaperModule*> paper_module() {
    return Error{ErrorCode::io, "Printing",
                 "on Windows Restand makes no pages for paper yet; the file prints on Linux"};
}

Result<const ServerModule*> server_module() {
    return Error{ErrorCode::io, "PostgreSQL",
                 "on Windows Restand reaches no server yet; exchange through a folder or a bundle"};
}

}  // namespace restand
