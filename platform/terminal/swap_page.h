#pragma once
// The result of a swap in a case of format 2 as a page for people; and the command.

#include "platform/terminal/request.h"

namespace restand {

// `restand solve` of a swap in a case of format 2.
int solve_ledger_swap(const Request& request, std::string_view text, std::ostream& out, std::ostream& err);

}  // namespace restand
