#pragma once
// restand check FILE: what kind of file is it, and is it whole? Decided by the first bytes, not by the name.

#include "platform/terminal/request.h"

namespace restand {

int check_file(const Request& request, std::ostream& out, std::ostream& err);

}  // namespace restand
