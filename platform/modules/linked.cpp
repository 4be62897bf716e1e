// Paper and server as test programs have them: linked. They open the window by themselves.

#include "platform/modules/modules.h"

namespace restand {

Result<const PaperModule*> paper_module() {
    static constexpr PaperModule paper{RESTAND_VERSION, print};
    return &paper;
}

Result<const ServerModule*> server_module() {
    static constexpr ServerModule server{RESTAND_VERSION, look, put, take};
    return &server;
}

}  // namespace restand
