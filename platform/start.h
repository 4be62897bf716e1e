#pragma once
// What the program does with the words behind its name; main.cpp and windows/main.cpp hand them over.
//   nothing, or the name of a workshop file     opens the app
//   --demo FILE                                 makes the demo team's workshop if FILE does not exist
//   --screenshot DIR                            draws every screen of it
//   other words                                 go to the terminal's commands

#include <iosfwd>
#include <span>
#include <string_view>

namespace restand {

/// Returns the program's exit code.
int start(std::span<const std::string_view> words, std::ostream& out, std::ostream& err);

}  // namespace restand
