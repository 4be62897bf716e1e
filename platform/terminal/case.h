#pragma once
// restand case BIKE: a bike of the workshop as a case file. restand take CASE.json: the way back.

#include "platform/terminal/request.h"

namespace restand {

int case_of_bike(const Request& request, std::ostream& out, std::ostream& err);
int take_case(const Request& request, std::ostream& out, std::ostream& err);

}  // namespace restand
