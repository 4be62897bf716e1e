#pragma once
// history, compare, way: the season ledger from the command line.

#include "platform/terminal/request.h"

namespace restand {

int history(const Request& request, std::ostream& out, std::ostream& err);
int compare_two(const Request& request, std::ostream& out, std::ostream& err);
int plan(const Request& request, std::ostream& out, std::ostream& err);

}  // namespace restand
