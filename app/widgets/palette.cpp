#include "app/widgets/palette.h"

#include <algorithm>
#include <cmath>

namespace restand {
namespace {

constexpr Colour hex(std::uint32_t rgb) {
    return {static_cast<std::uint8_t>(rgb >> 16), static_cast<std::uint8_t>(rgb >> 8 & 0xff),
            static_cast<std::uint8_t>(rgb & 0xff)};
}

// Order of the pens: ink, quiet, baseline, now, stop.
constexpr Palette day{.bench = hex(0xfaf8f2),
                      .panel = hex(0xfffefb),
                      .tint = hex(0xf0ede4),
                      .warm = hex(0xfdf1e8),
                      .shadow = hex(0xe2ded3),
                      .hair = hex(0x8a877e),
                      .pens = {{{hex(0x14161b), hex(0x14161b)},
                                {hex(0x2a2c32), hex(0x5b5c5e)},
                                {hex(0x004c88), hex(0x0a6bb0)},
                                {hex(0x8a2f06), hex(0xbf430c)},
                                {hex(0xa00d12), hex(0xe0340f)}}}};

constexpr Palette night{.bench = hex(0x101215),
                        .panel = hex(0x181b1f),
                        .tint = hex(0x23272c),
                        .warm = hex(0x33241b),
                        .shadow = hex(0x08090a),
                        .hair = hex(0x7d8187),
                        .pens = {{{hex(0xe6e1d4), hex(0xd8d3c6)},
                                  {hex(0xdcd7ca), hex(0x9a9c9e)},
                                  {hex(0x8cc2f0), hex(0x6aaee6)},
                                  {hex(0xf5a767), hex(0xe58a3e)},
                                  {hex(0xff9f92), hex(0xff6a4d)}}}};

double linear(std::uint8_t channel) {
    const double c = channel / 255.0;
    return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

double luminance(Colour c) {
    return 0.2126 * linear(c.r) + 0.7152 * linear(c.g) + 0.0722 * linear(c.b);
}

}  // namespace

std::uint32_t packed(Colour c, float opacity) {
    const auto alpha = static_cast<std::uint32_t>(std::clamp(opacity, 0.0f, 1.0f) * 255.0f + 0.5f);
    return alpha << 24 | static_cast<std::uint32_t>(c.b) << 16 | static_cast<std::uint32_t>(c.g) << 8 | c.r;
}

double contrast(Colour one, Colour other) {
    const auto [dark, light] = std::minmax({luminance(one), luminance(other)});
    return (light + 0.05) / (dark + 0.05);
}

const Palette& palette(bool is_night) {
    return is_night ? night : day;
}

}  // namespace restand
