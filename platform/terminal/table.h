#pragma once
// table, lines: everything for other programs. take: older readings from somebody else's table, or a bike.

#include "platform/terminal/request.h"

namespace restand {

int table(const Request& request, std::ostream& out, std::ostream& err);
int lines(const Request& request, std::ostream& out, std::ostream& err);
int take(const Request& request, std::ostream& out, std::ostream& err);

}  // namespace restand
