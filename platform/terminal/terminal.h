#pragma once
// The command line: answers without a window. `args` are the words after the program's name.
//
// Returns the exit code:  0 done, the answer holds the baseline
//                         2 bad input: a sentence on `err` names what and where; nothing was changed
//                         3 sound input, but the baseline cannot be held: the result is printed with its
//                         limits
// Reads the workshop file, the file named, or standard input for `-`; never writes but for export and import.

#include <ostream>
#include <span>
#include <string_view>

namespace restand {

int terminal(std::span<const std::string_view> args, std::ostream& out, std::ostream& err);

}  // namespace restand
