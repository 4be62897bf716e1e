#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace restand {

// The candidate with the fewest edits from `word`, for "did you mean"; "" if all need too many edits.
std::string nearest(std::string_view word, const std::vector<std::string_view>& candidates);

}  // namespace restand
