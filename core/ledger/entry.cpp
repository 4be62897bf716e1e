#include "core/ledger/entry.h"

#include <algorithm>
#include <tuple>

namespace restand {
namespace {

// Kulkarni et al. keep the counter in 16 bits. When it is full, the clock goes one millisecond ahead.
constexpr std::uint32_t last_counter = 0xffff;

constexpr std::uint32_t first_of(std::uint32_t epoch) {
    return epoch << 16;
}

// Compared without overflow, because a foreign clock may have any value.
bool far_ahead(const Clock& clock, std::int64_t wall_ms) {
    return wall_ms < INT64_MAX - far_ahead_ms && clock.ms > wall_ms + far_ahead_ms;
}

bool is_dash_place(std::size_t i) {
    return i == 8 || i == 13 || i == 18 || i == 23;
}

int hex_digit(char c) {
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return -1;
}

}  // namespace

bool earlier(const Entry& a, const Entry& b) {
    return std::tie(a.clock, a.id) < std::tie(b.clock, b.id);
}

std::string to_text(const Id& id) {
    constexpr char digits[] = "0123456789abcdef";
    std::string text;
    text.reserve(36);
    for (const std::uint8_t byte : id.bytes) {
        if (is_dash_place(text.size())) text += '-';
        text += digits[byte >> 4];
        text += digits[byte & 15];
    }
    return text;
}

Result<Id> id_from_text(std::string_view text) {
    const Error wrong{ErrorCode::wrong_type, "id", "8-4-4-4-12 hex digits"};
    if (text.size() != 36) return wrong;
    Id id;
    std::size_t nibble = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (is_dash_place(i)) {
            if (text[i] != '-') return wrong;
            continue;
        }
        const int digit = hex_digit(text[i]);
        if (digit < 0) return wrong;
        auto& byte = id.bytes[nibble / 2];
        byte = static_cast<std::uint8_t>(byte << 4 | digit);
        ++nibble;
    }
    return id;
}

Clock tick(Clock last, std::int64_t wall_ms) {
    const std::uint32_t epoch = last.epoch();
    if (far_ahead(last, wall_ms) && epoch < last_epoch) return {wall_ms, first_of(epoch + 1)};
    if (wall_ms > last.ms) return {wall_ms, first_of(epoch)};
    if ((last.counter & last_counter) < last_counter) return {last.ms, last.counter + 1};
    return {last.ms == INT64_MAX ? last.ms : last.ms + 1, first_of(epoch)};
}

}  // namespace restand
