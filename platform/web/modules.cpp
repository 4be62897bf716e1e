// Paper and server in a browser: neither is there, and the person reads why.

#include "platform/modules/modules.h"

namespace restand {

Result<const PaperModule*> paper_module() {
    return Error{ErrorCode::io, "Paper",
                 "in a browser Restand prints nothing; take the page over to a computer"};
}

Result<const ServerModule*> server_module() {
    return Error{ErrorCode::io, "Server",
                 "a browser cannot reach a database; exchange a bundle file, or use Restand on a computer"};
}

}  // namespace restand
