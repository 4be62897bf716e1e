#pragma once
// A device's number as text of 16 hex digits, as used in file and folder names, in tables and in DeviceBody.

#include <cstdint>
#include <string>
#include <string_view>

namespace restand {

std::string in_hex(std::uint64_t device);
std::uint64_t from_hex(std::string_view digits);   // 0 (no device has it): not a hex number

}  // namespace restand
