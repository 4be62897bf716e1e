// Contrast computed from the colours. Source: WCAG 2.2, definitions of relative luminance and contrast ratio;
// success criteria 1.4.6 (text 7:1) and 1.4.11 (lines and frames 3:1).
#include <doctest/doctest.h>

#include "app/widgets/palette.h"

using namespace restand;

namespace {

constexpr Ink inks[] = {Ink::ink, Ink::quiet, Ink::baseline, Ink::now, Ink::stop};

}  // namespace

TEST_CASE("palette: contrast ratio as WCAG computes it") {
    CHECK(contrast({0, 0, 0}, {255, 255, 255}) == doctest::Approx(21.0).epsilon(1e-9));
    CHECK(contrast({255, 255, 255}, {255, 255, 255}) == doctest::Approx(1.0));
    // #767676 on white: the well-known grey that just passes 4.5:1 (from memory).
    CHECK(contrast({0x76, 0x76, 0x76}, {255, 255, 255}) == doctest::Approx(4.54).epsilon(0.002));
}

TEST_CASE("palette: every pen's text is 7:1 or more on every ground, by day and by night") {
    for (const bool night : {false, true}) {
        const Palette& p = palette(night);
        for (const Ink ink : inks) {
            for (const Colour ground : {p.bench, p.panel, p.tint, p.warm}) {
                CAPTURE(night);
                CAPTURE(static_cast<int>(ink));
                CHECK(contrast(p.pen(ink).text, ground) >= 7.0);
                CHECK(contrast(p.pen(ink).line, ground) >= 3.0);
            }
            // Solid keys: letters in the panel's colour on a pen's colour.
            CHECK(contrast(p.panel, p.pen(ink).text) >= 7.0);
        }
        for (const Colour ground : {p.bench, p.panel}) CHECK(contrast(p.hair, ground) >= 3.0);
    }
}

TEST_CASE("palette: quiet text is 12:1 or more on paper by day") {
    const Palette& p = palette(false);
    CHECK(contrast(p.pen(Ink::quiet).text, p.bench) >= 12.0);
    CHECK(contrast(p.pen(Ink::ink).text, p.panel) >= 12.0);
}
