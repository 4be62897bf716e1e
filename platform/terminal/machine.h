#pragma once
// solve, linkage, chain of a case of the whole bike.

#include "platform/terminal/request.h"

namespace restand {

int linkage_of(const Request& request, std::ostream& out, std::ostream& err);
int chain_of(const Request& request, std::ostream& out, std::ostream& err);
// `restand solve` of a case of the whole bike.
int solve_whole(const Request& request, std::string_view text, std::ostream& out, std::ostream& err);

}  // namespace restand
