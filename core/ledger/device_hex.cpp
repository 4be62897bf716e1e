#include "core/ledger/device_hex.h"

#include <charconv>
#include <cstdio>

namespace restand {

std::string in_hex(std::uint64_t device) {
    char text[17];
    std::snprintf(text, sizeof text, "%016llx", static_cast<unsigned long long>(device));
    return text;
}

std::uint64_t from_hex(std::string_view digits) {
    std::uint64_t v = 0;
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), v, 16);
    return error == std::errc() && end == digits.data() + digits.size() ? v : 0;
}

}  // namespace restand
