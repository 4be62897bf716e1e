// Paper in a browser: there is none, and the person reads why. The app itself calls no server.

#include "platform/modules/modules.h"

namespace restand {

Result<const PaperModule*> paper_module() {
    return Error{ErrorCode::io, "Printing",
                 "in a browser Restand makes no pages for paper; use it on a computer"};
}

}  // namespace restand
