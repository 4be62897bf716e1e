#pragma once
// A compression spring in elevation as ISO 2162-1 shows it: the strands in front as slanted wires with round
// ends, those behind between them, ends closed and ground. Right-hand helix, the usual one.
//
//      front strand: from v = +R to v = −R while u, from seat to seat, grows by half a pitch
//
// Drawn in two passes, so that what stands inside the spring hides the wires behind it and is hidden by those
// in front.

#include "app/views/drawing/pen.h"

namespace restand::drawing {

struct Coil {
    double length = 150;  // between the seats, mm
    double radius = 34;   // outside
    double wire = 10;     // diameter; drawn thinner where the coils would touch
    int turns = 7;        // free turns one sees; each end adds one that lies flat on its seat
    double pitch() const;
    double drawn_wire() const;
};

void coil_behind(Pen& pen, const Place& seat, const Coil& coil, Ink ink);
void coil_before(Pen& pen, const Place& seat, const Coil& coil, Ink ink);

}  // namespace restand::drawing
