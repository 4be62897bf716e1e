#pragma once
// The bytes of the typefaces, embedded when the program is built: the program needs no file beside it.

#include <span>

namespace restand {

/// B612 Regular as a TrueType file in memory; lives as long as the program.
std::span<const unsigned char> b612_regular();

/// B612 Bold as a TrueType file in memory; lives as long as the program.
std::span<const unsigned char> b612_bold();

}  // namespace restand
