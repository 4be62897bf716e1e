#pragma once
// exchange: sends what a folder or a server lacks, takes what this workshop lacks, reports who lacks what.

#include "platform/terminal/request.h"

namespace restand {

int exchange(const Request& request, std::ostream& out, std::ostream& err);

}  // namespace restand
