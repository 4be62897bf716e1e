// First: with Emscripten it includes the next header itself.
#include <charconv>

#include "platform/web/floating_text.h"

#include <fast_float/fast_float.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string>
#include <string_view>

namespace restand::web {
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

std::from_chars_result from_chars(const char* first, const char* last, double& value,
                                  std::chars_format format) {
    const auto has = [&](std::chars_format part) {
        return (static_cast<int>(format) & static_cast<int>(part)) != 0;
    };
    const bool fixed = has(std::chars_format::fixed), scientific = has(std::chars_format::scientific);
    const auto as = fixed && scientific ? fast_float::chars_format::general
                    : fixed             ? fast_float::chars_format::fixed
                                        : fast_float::chars_format::scientific;
    double number = 0;
    const auto read = fast_float::from_chars(first, last, number, as);
    if (read.ec != std::errc{}) return {read.ptr, read.ec};
    // Too large or too small for a double: fast_float makes infinity or nothing of it, the standard an error.
    const std::string_view text(first, static_cast<std::size_t>(read.ptr - first));
    const std::string_view digits = text.substr(0, text.find_first_of("eE"));
    const bool too_large = std::isinf(number) && digits.find_first_of("0123456789") != digits.npos;
    const bool too_small = number == 0 && digits.find_first_of("123456789") != digits.npos;
    if (too_large || too_small) return {read.ptr, std::errc::result_out_of_range};
    value = number;
    return {read.ptr, std::errc{}};
}

// The shorter of the two forms; of two that are as long the fixed one.
std::to_chars_result to_chars(char* first, char* last, double value) {
    if (!std::isfinite(value)) return put(first, last, not_finite(value));
    const double magnitude = std::abs(value);
    const Shortest digits = shortest(magnitude);
    const std::string fixed = fixed_text(digits, magnitude), scientific = scientific_text(digits);
    const std::string sign = std::signbit(value) ? "-" : "";
    return put(first, last, sign + (scientific.size() < fixed.size() ? scientific : fixed));
}

std::to_chars_result to_chars(char* first, char* last, double value, std::chars_format format) {
    if (format == std::chars_format::general) return to_chars(first, last, value);
    if (!std::isfinite(value)) return put(first, last, not_finite(value));
    const double magnitude = std::abs(value);
    const Shortest digits = shortest(magnitude);
    const std::string sign = std::signbit(value) ? "-" : "";
    const bool fixed = format == std::chars_format::fixed;
    return put(first, last, sign + (fixed ? fixed_text(digits, magnitude) : scientific_text(digits)));
}

std::to_chars_result to_chars(char* first, char* last, double value, std::chars_format format,
                              int precision) {
    if (!std::isfinite(value)) return put(first, last, not_finite(value));
    const char* form = format == std::chars_format::fixed        ? "%.*f"
                       : format == std::chars_format::scientific ? "%.*e"
                                                                 : "%.*g";
    return put(first, last, printed(form, precision, value));
}

}  // namespace restand::web
