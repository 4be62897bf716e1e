#pragma once
// Elementary functions as plain arithmetic, without branch, table or call, so that a compiler turns a loop
// over many numbers into vector instructions. Each is its series on a range where few terms are enough; the
// coefficients are exact fractions. Error: of sine and cosine 2e-15, of the others 4e-15 of their value. Not
// for arguments that are not finite.

#include <bit>
#include <cstdint>

namespace restand {

// Adding it to a number below 2^51 rounds the number to a whole one, which is then in the lowest bits.
inline constexpr double rounding_shift = 6755399441055744.0;  // 1.5 · 2^52

struct SineCosine {
    double sine, cosine;
};

// −π <= angle <= π. Series at a quarter of the angle, which is then doubled twice.
inline SineCosine sine_cosine_within_pi(double angle) {
    const double x = 0.25 * angle, z = x * x;
    double s = -1.0 / 1307674368000.0;  // −1/15!
    s = s * z + 1.0 / 6227020800.0;
    s = s * z - 1.0 / 39916800.0;
    s = s * z + 1.0 / 362880.0;
    s = s * z - 1.0 / 5040.0;
    s = s * z + 1.0 / 120.0;
    s = s * z - 1.0 / 6.0;
    s = x + x * (z * s);
    double c = 1.0 / 20922789888000.0;  // 1/16!
    c = c * z - 1.0 / 87178291200.0;
    c = c * z + 1.0 / 479001600.0;
    c = c * z - 1.0 / 3628800.0;
    c = c * z + 1.0 / 40320.0;
    c = c * z - 1.0 / 720.0;
    c = c * z + 1.0 / 24.0;
    c = c * z - 0.5;
    c = 1.0 + z * c;
    const double s2 = 2.0 * s * c, c2 = 1.0 - 2.0 * s * s;
    return {2.0 * s2 * c2, 1.0 - 2.0 * s2 * s2};
}

// |angle| < 1e6; its own rounding is not counted.
inline SineCosine sine_cosine(double angle) {
    // 2π in two parts; the first has so few bits that its multiples are exact.
    constexpr double most = 6.2831853069365025, rest = 2.430840202602477e-10;
    const double turns = (angle * (1.0 / (most + rest)) + rounding_shift) - rounding_shift;
    return sine_cosine_within_pi((angle - turns * most) - turns * rest);
}

// x: normal and > 0. ln x = n·ln 2 + 2·artanh((m − 1)/(m + 1)), √½ <= m < √2.
inline double natural_log(double x) {
    constexpr std::uint64_t root_half = 0x3FE6A09E667F3BCDu, one = 0x3FF0000000000000u;
    const std::uint64_t bits = std::bit_cast<std::uint64_t>(x);
    const std::uint64_t exponent = (bits - root_half + one) >> 52;  // n + 1023
    const double m = std::bit_cast<double>(bits - (exponent << 52) + one);
    const double n = std::bit_cast<double>(exponent | 0x4330000000000000u) - (0x1p52 + 1023.0);
    const double f = (m - 1.0) / (m + 1.0), z = f * f;
    double sum = 1.0 / 21.0;
    sum = sum * z + 1.0 / 19.0;
    sum = sum * z + 1.0 / 17.0;
    sum = sum * z + 1.0 / 15.0;
    sum = sum * z + 1.0 / 13.0;
    sum = sum * z + 1.0 / 11.0;
    sum = sum * z + 1.0 / 9.0;
    sum = sum * z + 1.0 / 7.0;
    sum = sum * z + 1.0 / 5.0;
    sum = sum * z + 1.0 / 3.0;
    return n * 0.6931471805599453 + 2.0 * (f + f * (z * sum));
}

// 0 <= x < 700: e^x − 1. x = n·ln 2 + r, |r| <= ln 2/2.
inline double exponential_minus_one(double x) {
    constexpr double whole = 0.6931471805599453, rest = 2.3190468138462996e-17;  // ln 2 in two parts
    const double shifted = x * (1.0 / whole) + rounding_shift, n = shifted - rounding_shift;
    const double r = (x - n * whole) - n * rest;
    double sum = 1.0 / 87178291200.0;  // 1/14!
    sum = sum * r + 1.0 / 6227020800.0;
    sum = sum * r + 1.0 / 479001600.0;
    sum = sum * r + 1.0 / 39916800.0;
    sum = sum * r + 1.0 / 3628800.0;
    sum = sum * r + 1.0 / 362880.0;
    sum = sum * r + 1.0 / 40320.0;
    sum = sum * r + 1.0 / 5040.0;
    sum = sum * r + 1.0 / 720.0;
    sum = sum * r + 1.0 / 120.0;
    sum = sum * r + 1.0 / 24.0;
    sum = sum * r + 1.0 / 6.0;
    sum = sum * r + 0.5;
    sum = r + r * (r * sum);
    const double power = std::bit_cast<double>((std::bit_cast<std::uint64_t>(shifted) + 1023u) << 52);
    return power * sum + (power - 1.0);
}

}  // namespace restand
