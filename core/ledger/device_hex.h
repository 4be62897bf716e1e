#pragma once
// A device's number as it is written: in the names of files and folders, in tables, in DeviceBody. 16 hex digits.

#include <cstdint>
#include <string>
#include <string_view>

namespace restand {

std::string in_hex(std::uint64_t device);
std::uint64_t from_hex(std::string_view digits);   // 0, the number of no device: they are none

}  // namespace restand
