// The floating-point half of <charconv> for Emscripten (standard/charconv).

#include <charconv>

#include <fast_float/fast_float.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string>
#include <string_view>

namespace {

std::to_chars_result put(char* first, char* last, std::string_view text) {
    if (last - first < static_cast<std::ptrdiff_t>(text.size())) return {last, std::errc::value_too_large};
    return {std::copy(text.begin(), text.end(), first), std::errc{}};
}

std::string printed(const char* form, int precision, double value) {
    const int size = std::snprintf(nullptr, 0, form, precision, value);
    std::string text(static_cast<std::size_t>(size) + 1, '\0');
    std::snprintf(text.data(), text.size(), form, precision, value);
    text.pop_back();
    return text;
}

// The fewest digits from which the value is read back; value = 0.digits × 10^point.
struct Shortest {
    std::string digits;
    int point;
};
Shortest shortest(double magnitude) {
    if (magnitude == 0) return {"0", 1};
    const auto decimal = fmt::detail::dragonbox::to_decimal(magnitude);
    std::string digits = std::to_string(decimal.significand);
    const int point = decimal.exponent + static_cast<int>(digits.size());
    while (digits.size() > 1 && digits.back() == '0') digits.pop_back();
    return {std::move(digits), point};
}

// Whole numbers of more digits than that are printed exactly.
std::string fixed_text(const Shortest& of, double magnitude) {
    const int count = static_cast<int>(of.digits.size());
    if (of.point >= count) return printed("%.*f", 0, magnitude);
    if (of.point <= 0) return "0." + std::string(static_cast<std::size_t>(-of.point), '0') + of.digits;
    const auto whole = static_cast<std::size_t>(of.point);
    return of.digits.substr(0, whole) + "." + of.digits.substr(whole);
}

std::string scientific_text(const Shortest& of) {
    const int exponent = of.point - 1;
    std::string text = of.digits.substr(0, 1);
    if (of.digits.size() > 1) text += "." + of.digits.substr(1);
    const std::string power = std::to_string(std::abs(exponent));
    return text + (exponent < 0 ? "e-" : "e+") + (power.size() < 2 ? "0" : "") + power;
}

std::string not_finite(double value) {
    return std::string(std::signbit(value) ? "-" : "") + (std::isnan(value) ? "nan" : "inf");
}

}  // namespace

namespace std {

from_chars_result from_chars(const char* first, const char* last, double& value, chars_format format) {
    const bool fixed = (static_cast<int>(format) & static_cast<int>(chars_format::fixed)) != 0;
    const bool scientific = (static_cast<int>(format) & static_cast<int>(chars_format::scientific)) != 0;
    const auto as = fixed && scientific ? fast_float::chars_format::general
                    : fixed             ? fast_float::chars_format::fixed
                                        : fast_float::chars_format::scientific;
    const auto read = fast_float::from_chars(first, last, value, as);
    return {read.ptr, read.ec};
}

// The shorter of the two forms; of two that are as long the fixed one.
to_chars_result to_chars(char* first, char* last, double value) {
    if (!std::isfinite(value)) return put(first, last, not_finite(value));
    const double magnitude = std::abs(value);
    const Shortest digits = shortest(magnitude);
    const std::string fixed = fixed_text(digits, magnitude), scientific = scientific_text(digits);
    const std::string sign = std::signbit(value) ? "-" : "";
    return put(first, last, sign + (scientific.size() < fixed.size() ? scientific : fixed));
}

to_chars_result to_chars(char* first, char* last, double value, chars_format format) {
    if (format == chars_format::general) return to_chars(first, last, value);
    if (!std::isfinite(value)) return put(first, last, not_finite(value));
    const double magnitude = std::abs(value);
    const Shortest digits = shortest(magnitude);
    const std::string sign = std::signbit(value) ? "-" : "";
    return put(
        first, last,
        sign + (format == chars_format::fixed ? fixed_text(digits, magnitude) : scientific_text(digits)));
}

to_chars_result to_chars(char* first, char* last, double value, chars_format format, int precision) {
    if (!std::isfinite(value)) return put(first, last, not_finite(value));
    const char* form = format == chars_format::fixed        ? "%.*f"
                       : format == chars_format::scientific ? "%.*e"
                                                            : "%.*g";
    return put(first, last, printed(form, precision, value));
}

}  // namespace std
