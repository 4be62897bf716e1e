#pragma once
// restand sheet BASELINE -o FILE.pdf [--letter]: the page for the toolbox, written from the workshop file.

#include "platform/terminal/request.h"

namespace restand {

// Exit codes as terminal.h. An existing file is kept unless --replace is given.
int sheet(const Request& request, std::ostream& out, std::ostream& err);

}  // namespace restand
