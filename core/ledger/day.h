#pragma once
// Converts the day text of an entry to a time.

#include <charconv>
#include <cstdint>
#include <optional>
#include <string_view>

namespace restand {

inline constexpr std::int64_t day_ms = 86'400'000;
// 28 to 31. Requires month 1 to 12; proleptic Gregorian calendar.
inline int days_in(int year, int month) {
    const bool leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    return month == 2 ? 28 + leap : 30 + (month + month / 8) % 2;
}

// Noon UTC of "2026-03-14", Unix ms; nullopt if there is no such day. Proleptic Gregorian calendar; days are
// counted in eras of 400 years that begin in March (common practice; C++20's <chrono> does the same).
inline std::optional<std::int64_t> noon_of(std::string_view text) {
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') return std::nullopt;
    int y = 0, m = 0, d = 0;
    const auto number = [&](std::size_t from, std::size_t length, int& into) {
        const char *first = text.data() + from, *last = first + length;
        const auto [end, error] = std::from_chars(first, last, into);
        return error == std::errc{} && end == last && into > 0;
    };
    if (!number(0, 4, y) || !number(5, 2, m) || !number(8, 2, d) || m > 12) return std::nullopt;
    if (d > days_in(y, m)) return std::nullopt;
    y -= m <= 2;
    const int era = y / 400, year = y % 400;
    const int day_of_year = (153 * (m + (m > 2 ? -3 : 9)) + 2) / 5 + d - 1;
    const int day = year * 365 + year / 4 - year / 100 + day_of_year;
    return (std::int64_t{era} * 146097 + day - 719468) * day_ms + day_ms / 2;
}

}  // namespace restand
