#include "app/views/drawing/coil.h"

#include <algorithm>

namespace restand::drawing {

// From the flat coil at one end to the flat coil at the other the wire climbs turns + ½ pitches.
double Coil::pitch() const {
    return (length - drawn_wire()) / (turns + 0.5);
}

double Coil::drawn_wire() const {
    const double closed = length / (turns + 1.5);  // wire diameter at which adjacent turns touch
    return std::min({wire, 0.8 * closed, 0.5 * radius});
}

void coil_behind(Pen& pen, const Place& seat, const Coil& coil, Ink ink) {
    const double d = coil.drawn_wire(), p = coil.pitch(), r = coil.radius - d / 2;
    for (int k = 0; k <= coil.turns; ++k) {
        const double u = d / 2 + k * p;
        const Vec2 a = seat(u, -r), b = seat(u + p / 2, r);
        const Vec2 edge = left_of(direction(a, b)) * (d / 2);
        pen.line(a + edge, b + edge, {Line::narrow, ink});
        pen.line(a - edge, b - edge, {Line::narrow, ink});
    }
}

void coil_before(Pen& pen, const Place& seat, const Coil& coil, Ink ink) {
    const double d = coil.drawn_wire(), p = coil.pitch(), r = coil.radius - d / 2;
    const Style wire = {Line::wide, ink, true};
    pen.capsule(seat(d / 2, r), seat(d / 2, -r), d / 2, wire);
    for (int k = 1; k <= coil.turns; ++k) {
        const double u = d / 2 + k * p;
        pen.capsule(seat(u - p / 2, r), seat(u, -r), d / 2, wire);
    }
    pen.capsule(seat(coil.length - d / 2, r), seat(coil.length - d / 2, -r), d / 2, wire);
}

}  // namespace restand::drawing
