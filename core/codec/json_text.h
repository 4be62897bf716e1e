#pragma once
// Reads JSON of unknown origin strictly: at most 64 levels, valid UTF-8, finite numbers, no duplicate keys,
// no text after the value. These functions do not throw. Error: damaged; subject "json", detail = what is
// wrong and at which byte.

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "core/quantity/result.h"

namespace restand {

inline constexpr std::size_t json_depth = 64;

Result<nlohmann::json> parse_json(std::string_view text);
// One line, keys sorted; bytes that are not UTF-8 become U+FFFD.
std::string print_json(const nlohmann::json& value);

}  // namespace restand
