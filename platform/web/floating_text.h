#pragma once
// The functions of <charconv> for doubles, as C++17 defines them: fast_float reads, the shortest digits are
// fmt's, fixed places are printf's. Emscripten's standard library lacks them; standard/charconv makes these
// its own.

#include <charconv>

namespace restand::web {

std::from_chars_result from_chars(const char* first, const char* last, double& value,
                                  std::chars_format format = std::chars_format::general);
std::to_chars_result to_chars(char* first, char* last, double value);
// Of format general: the one above.
std::to_chars_result to_chars(char* first, char* last, double value, std::chars_format format);
std::to_chars_result to_chars(char* first, char* last, double value, std::chars_format format, int precision);

}  // namespace restand::web
