#pragma once
// Centre of mass, from the wheel loads measured level and with the front wheel lifted.
//
//   level:   ahead of the rear contact a = w·m_f/m
//   lifted:  the bike turns about the rear axle by θ; height = R_r + (a·cos θ − w'·m_f'/m)/sin θ
//
// Each wheel has its own radius: ignoring a difference of 20 mm gives an error of about 10 mm in the height.
// Shock and fork must be locked (straps, or a rod in place of the damper), or they compress while the bike is
// lifted. Source: geometry; procedure as in ISO 10392 and ISO 9130 for other vehicles.

#include "core/machine/attitude.h"

namespace restand {

struct ScaleReadings {
    Length wheelbase;                  // level, along the ground
    Length rear_radius, front_radius;  // loaded, on the scales
    Mass rear, front;                  // level
    Mass front_lifted;                 // with the front wheel lifted
    Length lift;                       // height of the front contact when lifted
};
struct CentreOfMass {
    Mass mass;
    Length ahead, height;  // ahead of the rear contact, above the ground; level
    Angle tilt;            // θ, when lifted
};
// Errors: out_of_range (a load or wheelbase not above 0; a lift that the wheelbase does not allow).
Result<CentreOfMass> centre_of_mass(const ScaleReadings& readings);

// The sprung mass: the whole bike less arm, rear wheel and unsprung front. `pose`, `radii`: as on the scales.
// Error: out_of_range (the remaining mass is not above 0).
struct Unsprung {
    PointMass arm;
    Mass rear_wheel, front;
};
Result<PointMass> sprung_mass(const WholeBike& bike, const Pose& pose, const Radii& radii,
                              const CentreOfMass& whole, const Unsprung& unsprung);

// Whole and sprung mass of a bike on the scales. The wheelbase comes from its geometry, the tyre deflections
// from the measured loads.
struct OnScales {
    Mass rear, front;   // level
    Mass front_lifted;  // with the front wheel lifted by `lift`
    Length lift;
    Pose held;  // the locked pose
};
struct Weighed {
    CentreOfMass whole;
    PointMass sprung;
};
// Errors, subject "scales.…" or the wheel: out_of_range (as centre_of_mass(); a tyre pressed flat);
// contradiction (centre of mass at an impossible place; no mass left for the frame, or its centre too far
// out).
Result<Weighed> weighed(const WholeBike& bike, const OnScales& scales, const Unsprung& unsprung);

}  // namespace restand
