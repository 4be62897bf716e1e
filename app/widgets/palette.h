#pragma once
// Colours of backgrounds and pens, by day and by night.
//
// Required contrast, computed in tests/screen/widget_palette.cpp: text 7:1 or more on every background,
// 'quiet' text 12:1 on paper, lines and frames 3:1 (WCAG 2.2, success criteria 1.4.6 and 1.4.11). A pen's
// line may therefore be brighter than its letters.

#include <array>
#include <cstdint>

#include "app/views/drawing.h"

namespace restand {

struct Colour {
    std::uint8_t r = 0, g = 0, b = 0;
    friend bool operator==(const Colour&, const Colour&) = default;
};

/// Packed as Dear ImGui's vertices want it; `opacity` 0 to 1.
std::uint32_t packed(Colour colour, float opacity = 1);

/// (L1 + 0.05) / (L2 + 0.05) of the relative luminances, 1 to 21. Source: WCAG 2.2, "contrast ratio".
double contrast(Colour one, Colour other);

struct Pen {
    Colour text, line;
};

struct Palette {
    Colour bench;             ///< around and behind everything
    Colour panel;              ///< background of side panel, tags and keys
    Colour tint;              ///< filled parts of the drawing, pressed keys
    Colour warm;              ///< background of the field being filled in
    Colour shadow;            ///< under the side panel; decoration only
    Colour hair;              ///< rules between rows, ticks
    std::array<Pen, 5> pens;  ///< by Ink
    const Pen& pen(Ink ink) const { return pens[static_cast<std::size_t>(ink)]; }
};

const Palette& palette(bool night);

}  // namespace restand
