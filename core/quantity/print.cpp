// Numbers as text, independent of locale: the same bytes on every machine.

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numeric>
#include <utility>

#include "core/quantity/unit.h"

namespace restand {
namespace {

constexpr std::string_view minus_sign = "\u2212";
constexpr std::string_view no_number = "\u2014";  // printed for a value that is not finite

// Digits of a magnitude, rounded from the exact binary value (to_chars): 0.125 to two places is 0.12.
std::string digits_of(double magnitude, int decimals) {
    std::array<char, 384> buffer;  // the largest double has 309 digits
    const auto [end, error] = std::to_chars(buffer.data(), buffer.data() + buffer.size(), magnitude,
                                            std::chars_format::fixed, std::clamp(decimals, 0, 20));
    check(error == std::errc(), "a double that does not fit its buffer");
    return std::string(buffer.data(), end);
}

bool all_zero(std::string_view digits) {
    return digits.find_first_not_of("0.") == std::string_view::npos;
}

bool drops_trailing_zeros(Unit unit) {
    return unit == Unit::turn || unit == Unit::click || unit == Unit::one;
}

std::string without_trailing_zeros(std::string text) {
    if (text.find('.') == std::string::npos) return text;
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text;
}

}  // namespace

std::string print_fixed(double value, int decimals) {
    if (!std::isfinite(value)) return std::string(no_number);
    std::string digits = digits_of(std::fabs(value), decimals);
    // A value that rounds to zero has no sign: "−0.0" looks like an error.
    if (value < 0.0 && !all_zero(digits)) digits.insert(0, minus_sign);
    return digits;
}

std::string print_quarters(double turns) {
    if (!std::isfinite(turns)) return std::string(no_number);
    constexpr std::array<std::string_view, 4> signs = {"", "¼", "½", "¾"};
    const double quarters = std::round(std::fabs(turns) * 4.0);
    const auto part = static_cast<std::size_t>(std::fmod(quarters, 4.0));
    const double whole = std::floor(quarters / 4.0);
    std::string text = whole == 0.0 && part != 0 ? "" : digits_of(whole, 0);
    return text.append(signs[part]);
}

std::string print_sixteenths(double inches) {
    if (!std::isfinite(inches)) return std::string(no_number);
    const double sixteenths = std::round(std::fabs(inches) * 16.0);
    const int part = static_cast<int>(std::fmod(sixteenths, 16.0));
    const double whole = std::floor(sixteenths / 16.0);
    std::string text = inches < 0.0 && sixteenths != 0.0 ? std::string(minus_sign) : "";
    if (whole != 0.0 || part == 0) text += digits_of(whole, 0);
    if (part == 0) return text;

    // Lowest terms: 1/2, not 8/16.
    const int common = std::gcd(part, 16);
    if (whole != 0.0) text += ' ';
    return text.append(digits_of(part / common, 0)).append("/").append(digits_of(16 / common, 0));
}

std::string print_in(double canonical, Unit unit) {
    std::string text = print_fixed(from_canonical(canonical, unit), usual_decimals(unit));
    // Counts and plain numbers: 15 teeth, 2.5 turns, a leverage of 2.05.
    return drops_trailing_zeros(unit) ? without_trailing_zeros(std::move(text)) : text;
}

Typed typed_as_shown(double canonical, Unit unit) {
    const double value = from_canonical(canonical, unit);
    std::string text = without_trailing_zeros(digits_of(std::fabs(value), usual_decimals(unit)));
    if (value < 0.0 && !all_zero(text)) text.insert(0, "-");
    return {std::move(text), unit};
}

double half_shown(Unit unit) {
    return to_canonical(0.5 * std::pow(10.0, -usual_decimals(unit)), unit);
}

}  // namespace restand
