#pragma once
// The whole bike as a mechanism: a rigid frame, the swingarm with its linkage and unit, the fork, two wheels,
// the masses, the chain run. Data only: standing_bike.h computes equilibrium, attitude.h angles and lengths.
//
//    z                       o head, on the steering axis, which is inclined rearwards by `axis`
//    ^                         ..
//    |       pivot               ..
//    +--> x   o---arm---o           o front axle, `offset` ahead of the axis
//   (plane.h; the arm points backwards, its axle at −x)
//
// Simplifications: rigid frame, forks and rims; upright wheels; no friction; each wheel touches the ground
// directly below its axle (no horizontal wheel forces).

#include <optional>

#include "core/machine/chain.h"
#include "core/machine/linkage.h"
#include "core/machine/unit_force.h"

namespace restand {

inline constexpr double standard_gravity = 9.80665;  // m/s², CGPM 1901

struct Wheel {
    Length radius;                  // loaded rolling radius; unloaded if `stiffness` is given
    std::optional<Rate> stiffness;  // radial, of the tyre; nullopt: rigid
};

struct PointMass {
    Mass mass;
    PlanePoint at;
};

struct FrontGeometry {
    PlanePoint head;  // any point on the steering axis, frame axes
    Angle axis;       // steering axis to frame z; positive: inclined rearwards
    Length offset;    // steering axis to front axle, perpendicular; positive forward
};

struct Masses {
    PointMass sprung;                 // frame, engine, fuel, sprung part of the fork; frame axes
    PointMass arm;                    // arm axes
    Mass rear_wheel, front_unsprung;  // at the axles
    PointMass rider;                  // frame axes
};

// What the ends carry, in place of masses: weighed by the bike's own units at measured ride heights. A load
// stays as it is when the pose changes.
struct EndLoads {
    Force rear;  // at the axle, along frame z
    Force fork;  // along the steering axis
};
struct CarriedLoads {
    std::optional<EndLoads> alone, with_rider;  // nullopt: a height was not read
};

struct WholeBike {
    Length arm;  // pivot to rear axle
    Wheel rear, front;
    FrontGeometry geometry;
    SuspensionUnit shock;
    Linkage linkage;
    SuspensionUnit fork;   // length: along the steering axis, from `head` to the foot of the axle
    Length fork_position;  // tube end above the upper yoke; larger = front lower
    std::optional<Masses> masses;
    CarriedLoads carried{};               // counts only without masses
    std::optional<PlanePoint> tail_mark;  // rear ride height: rear axle to this mark; frame axes
    std::optional<ChainRun> chain;
};

// Quantities that can be varied on a bike: lengths in mm, teeth, links.
enum class Adjustable {
    shock_length,  // eye to eye, at the stop
    shock_installed,
    fork_installed,  // both: installed spring length
    fork_position,
    arm,  // varied by moving the axle in its slot
    rod,  // of the linkage
    rear_radius,
    front_radius,  // both: varied by another tyre
    front_teeth,
    rear_teeth,
    links,
};
inline constexpr int adjustable_count = 11;
std::string_view key(Adjustable adjustable);                 // "shock_length", …
bool is_counted(Adjustable adjustable);                     // true for teeth and links: whole numbers
bool moves_chain(Adjustable adjustable);                    // true for teeth, links and the axle position
double value(const WholeBike& bike, Adjustable adjustable);  // 0 if the bike does not have it
void put(WholeBike& bike, Adjustable adjustable, double value);

// Position of both ends in their travel.
struct Pose {
    Angle droop;         // of the arm
    Length fork_travel;  // 0 = topped out
};
// The pose with this shock length, eye to eye, and this fork travel. Errors: as LinkageMap::droop_at().
Result<Pose> pose_at(const LinkageMap& linkage, Length shock_length, Length fork_travel);
// The pose with both wheels off the ground: at the stops, or where the top-out springs hold unit and wheel.
// `linkage` must be the bike's own. Errors: as LinkageMap::droop_at().
Result<Pose> hanging_pose(const WholeBike& bike, const LinkageMap& linkage);

}  // namespace restand
