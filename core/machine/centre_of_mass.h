#pragma once
// Where is the centre of mass? From what both wheels weigh level and with the front wheel lifted.
//
//   level:   ahead of the rear contact a = w·m_f/m
//   lifted:  the bike turns about the rear axle by θ; height = R_r + (a·cos θ − w'·m_f'/m)/sin θ
//
// Both wheels keep their own radius: taking them for equal, 20 mm of difference costs some 10 mm of height.
// Unit and fork must be held (straps, or a rod in place of the damper), or the bike sinks while it is lifted.
// Source: geometry; procedure as in ISO 10392 and ISO 9130 for other vehicles.

#include "core/machine/attitude.h"

namespace restand {

struct ScaleReadings {
    Length wheelbase;                  // level, along the ground
    Length rear_radius, front_radius;  // as they carried the bike
    Mass rear, front;                  // level
    Mass front_lifted;                 // with the front wheel lifted
    Length lift;                       // of the front contact
};
struct CentreOfMass {
    Mass mass;
    Length ahead, height;  // of the rear contact; above the ground, level
    Angle tilt;            // when lifted
};
// Errors: out_of_range (a load not above 0, a lift the wheelbase does not allow).
Result<CentreOfMass> centre_of_mass(const ScaleReadings& readings);

// What is left for the frame once wheels and arm are taken out of the whole. `pose`, `radii`: as on the scales.
// Error out_of_range: nothing left.
struct Unsprung {
    PointMass arm;
    Mass rear_wheel, front;
};
Result<PointMass> sprung_mass(const WholeBike& bike, const Pose& pose, const Radii& radii,
                              const CentreOfMass& whole, const Unsprung& unsprung);

// Both from a bike that is held on the scales: its wheelbase from its own geometry, its tyres loaded as
// they were.
struct OnScales {
    Mass rear, front;   // level
    Mass front_lifted;  // with the front wheel lifted by `lift`
    Length lift;
    Pose held;  // of unit and fork
};
struct Weighed {
    CentreOfMass whole;
    PointMass sprung;
};
// Errors, subject "scales.…" or the wheel's: out_of_range (as centre_of_mass; a tyre that would be flat),
// contradiction (a centre of mass where no motorcycle has it; nothing left for the frame, or far outside it).
Result<Weighed> weighed(const WholeBike& bike, const OnScales& scales, const Unsprung& unsprung);

}  // namespace restand
