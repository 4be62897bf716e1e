#pragma once
// What the commands of a bike case share: how it is read, and what is printed when it has no answer.

#include "platform/terminal/bike_tables.h"
#include "platform/terminal/request.h"

namespace restand {

// Targets are left as typed: these commands are not asked for them. Errors with the file before them.
Result<BikeCase> case_of(const Request& request);
// Bad input is one sentence on `err`, exit 2. A sound case without an answer has that as its result, exit 3: under
// the command's keys, with --text a sentence; as a table, which has no line for it, on `err`.
int no_answer(const Request& request, const Error& error, std::ostream& out, std::ostream& err);
// True, and said, where --csv is asked of what is no table.
bool no_table(const Request& request, std::ostream& err);

}  // namespace restand
