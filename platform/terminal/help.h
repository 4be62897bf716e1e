#pragma once
// What --help prints.

#include <string>
#include <string_view>

namespace restand {

// For one command, for a page of the reference ("commands", "case", "tables", "exchange"), or for both where
// they share a name; for the whole program when `about` names none.
std::string help_text(std::string_view about);

}  // namespace restand
