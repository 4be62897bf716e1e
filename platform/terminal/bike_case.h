#pragma once
// Shared by the commands of a bike case: reading it, and printing when it has no answer.

#include "platform/terminal/bike_tables.h"
#include "platform/terminal/request.h"

namespace restand {

// Targets stay as typed: these commands do not use them. Errors name the file first.
Result<BikeCase> case_of(const Request& request);
// Bad input: one sentence on `err`, exit 2. A sound case without an answer: that is its result, exit 3. It is
// printed under the command's keys, or with --text as a sentence. A table has no line for it: it goes to
// `err`.
int no_answer(const Request& request, const BikeCase& c, const Error& error, std::ostream& out,
              std::ostream& err);
// True, with a message, where --csv is asked of a result that is no table.
bool no_table(const Request& request, std::ostream& err);

}  // namespace restand
