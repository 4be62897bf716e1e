#pragma once
// What --help prints.

#include <string_view>

namespace restand {

// Of one command, or of the whole program when `command` names none.
std::string_view help_text(std::string_view command);

}  // namespace restand
