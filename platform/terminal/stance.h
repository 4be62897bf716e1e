#pragma once
// restand stance CASE.json: the bike's equilibrium, and its values in a pose that the case asks for.

#include "platform/terminal/request.h"

namespace restand {

int stance_of(const Request& request, std::ostream& out, std::ostream& err);

}  // namespace restand
