#pragma once
// restand solve CASE.json: the answer without a window.

#include "platform/terminal/request.h"

namespace restand {

int solve(const Request& request, std::ostream& out, std::ostream& err);
// Errors of a case's text name a field or a line; the file's name is put first.
Error in_case(std::string_view name, Error error);

}  // namespace restand
