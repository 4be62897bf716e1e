#pragma once
// jobs, ready: what is to be done on a bike, and what speaks against taking it out.

#include "platform/terminal/request.h"

namespace restand {

int jobs(const Request& request, std::ostream& out, std::ostream& err);
// Returns exit_not_held where something speaks against it.
int ready(const Request& request, std::ostream& out, std::ostream& err);

}  // namespace restand
