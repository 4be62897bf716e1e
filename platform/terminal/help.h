#pragma once
// What --help prints.

#include <string>
#include <string_view>

namespace restand {

// Of one command, of a page of the reference ("commands", "case", "tables", "exchange"), or of both where they share a
// name; of the whole program when `about` names none.
std::string help_text(std::string_view about);

}  // namespace restand
