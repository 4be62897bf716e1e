#pragma once
// The whole bike as a mechanism: a rigid frame, the swingarm with its linkage and unit, the fork, two wheels,
// the masses, the chain run. Only values; how it stands is standing_bike.h, what it looks like attitude.h.
//
//    z                       o head, on the steering axis that leans back by `axis`
//    ^                         ..
//    |       pivot               ..
//    +--> x   o---arm---o           o front axle, `offset` ahead of the axis
//   (plane.h; the arm points backwards, its axle at −x)
//
// Simplifications: rigid frame, forks and rims; upright wheels; no friction; wheels touch the ground right below
// their axles (no horizontal wheel forces).

#include <optional>

#include "core/machine/chain.h"
#include "core/machine/linkage.h"
#include "core/machine/unit_force.h"

namespace restand {

inline constexpr double standard_gravity = 9.80665;  // m/s², CGPM 1901

struct Wheel {
    Length radius;                  // loaded, as it rolls; with `stiffness` unloaded
    std::optional<Rate> stiffness;  // of the tyre, radial; nullopt: rigid
};

struct PointMass {
    Mass mass;
    PlanePoint at;
};

struct FrontGeometry {
    PlanePoint head;  // any point on the steering axis, frame axes
    Angle axis;       // of the steering axis to frame z, leaning back
    Length offset;    // steering axis to front axle, square to it, forward
};

struct Masses {
    PointMass sprung;                 // frame, engine, fuel, what of the fork is sprung; frame axes
    PointMass arm;                    // arm axes
    Mass rear_wheel, front_unsprung;  // at the axles
    PointMass rider;                  // frame axes
};

struct WholeBike {
    Length arm;  // pivot to rear axle
    Wheel rear, front;
    FrontGeometry geometry;
    SuspensionUnit shock;
    Linkage linkage;
    SuspensionUnit fork;   // length: from `head` to the foot of the axle on the steering axis
    Length fork_position;  // tubes up through the yokes; larger = front lower
    std::optional<Masses> masses;
    std::optional<PlanePoint> tail_mark;  // rear ride height is read from the axle to it; frame axes
    std::optional<ChainRun> chain;
};

// What can be changed on a bike without another part: lengths in mm, teeth, links.
enum class Adjustable {
    shock_length,  // eye to eye, topped out
    shock_installed,
    fork_installed,  // installed spring lengths
    fork_position,
    arm,  // by the axle in its slot
    rod,  // of the linkage
    rear_radius,
    front_radius,  // by another tyre
    front_teeth,
    rear_teeth,
    links,
};
inline constexpr int adjustable_count = 11;
std::string_view key(Adjustable adjustable);                 // "shock_length", …
bool is_counted(Adjustable adjustable);                     // teeth and links: whole numbers
bool moves_chain(Adjustable adjustable);                    // those, and the axle
double value(const WholeBike& bike, Adjustable adjustable);  // 0 where the bike has none
void put(WholeBike& bike, Adjustable adjustable, double value);

// How far each end is pushed in.
struct Pose {
    Angle droop;         // of the arm
    Length fork_travel;  // 0 = topped out
};
// At these unit lengths: of the shock as it stands, and with this fork travel. Error as LinkageMap.
Result<Pose> pose_at(const LinkageMap& linkage, Length shock_length, Length fork_travel);

}  // namespace restand
