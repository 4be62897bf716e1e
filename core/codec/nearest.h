#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace restand {

// The candidate that is at most a few slips away from `word`, for "did you mean"; "" when none is.
std::string nearest(std::string_view word, const std::vector<std::string_view>& candidates);

}  // namespace restand
