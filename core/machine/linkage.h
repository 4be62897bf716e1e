#pragma once
// Linkage kinematics: length of the suspension unit as a function of the swingarm's droop, and the inverse,
// from the coordinates of the linkage's points.
//
//   direct              unit between a point on the arm and a point on the frame
//   rocker on frame     rod from the arm to a rocker, which pivots on the frame and compresses the unit
//   rocker on arm       the rocker pivots on the arm; a rod connects it to the frame
//
// All three use the same equations: each joint is on the frame or on the arm. Two circles intersect at T, one
// about the rocker's pivot and one about the far end of the rod. `side` selects one of the two intersections.
//
//        far end of rod P o------ rod ------o T            side +1: T lies to the left of the line from
//                                          /  \  rocker    pivot Q to P; −1: to the right
//                              pivot Q  o-----o V --- unit --- o U
//
// Droop: positive with the axle below the pivot. The unit is longer with more droop.
// Simplifications: rigid parts, no play.
// Source: four-bar position by circle intersection and velocity by constraint, Norton, Design of Machinery.

#include <optional>
#include <vector>

#include "core/machine/linkage_constants.h"
#include "core/machine/plane.h"
#include "core/quantity/conversions.h"
#include "core/quantity/result.h"

namespace restand {

enum class Carrier { frame, arm };
struct Pin {
    Carrier on = Carrier::frame;
    PlanePoint at;  // in frame axes or arm axes, as `on`
    friend bool operator==(const Pin&, const Pin&) = default;
};

struct Rocker {
    Pin pivot, rod_end;  // Q, and P: the rod's end that is not on the rocker
    Length rod;          // P to T
    Length pivot_to_rod, pivot_to_unit;
    Angle spread;  // from T to V about Q, positive from x towards z
    int side = 1;  // +1 or −1
    friend bool operator==(const Rocker&, const Rocker&) = default;
};

struct Linkage {
    Pin unit_end;  // U: the unit's eye that is not on the rocker
    std::optional<Rocker> rocker;
    Pin direct{Carrier::arm, {}};  // the other eye; used without a rocker
    friend bool operator==(const Linkage&, const Linkage&) = default;
};

struct LinkagePlace {
    Length length;  // of the unit
    double slope;   // dl/dα, mm/rad; > 0 in the usable range
    double bend;    // d²l/dα², mm/rad²
    PlanePoint rod_at_arm_side, rod_at_rocker, unit_at_rocker, unit_end;  // P, T, V, U in frame axes
};

// nullopt: the linkage does not close at this droop.
std::optional<LinkagePlace> place_at(const Linkage& linkage, Angle droop);
LinkageConstants constants_of(const Linkage& linkage);

// What limits the droop range of a linkage.
enum class LinkageEnd {
    stretched,  // rod and rocker in line, fully extended
    folded,     // rod and rocker in line, folded over each other
    locked,     // dl/dα reaches 0: dead point of the unit
    searched,   // no limit found within the range searched
};
std::string_view key(LinkageEnd end);

// A linkage over the range of droop where it closes and unit length rises with droop.
class LinkageMap {
public:
    // `near`: a droop at or close to which it works. Errors: out_of_range (a length not above 0; a coordinate
    // or length beyond 2000 mm), no_solution (closes nowhere near it, or the unit gets shorter as the arm
    // droops).
    static Result<LinkageMap> of(const Linkage& linkage, Angle near = degrees(10));

    const Linkage& linkage() const { return linkage_; }
    const LinkageConstants& constants() const { return constants_; }
    struct Limit {
        Angle droop;
        Length length;
        LinkageEnd why;
    };
    Limit shortest() const { return limit_at(knots_.front(), shortest_why_); }  // least droop, shortest unit
    Limit longest() const { return limit_at(knots_.back(), longest_why_); }
    bool covers(Length length) const;

    // Where the unit has a length, with what a height map needs there.
    struct Found {
        Angle droop;
        double cosine, sine;  // of the droop
        double slope, bend;   // as in LinkagePlace
    };
    // Error of both: no_solution (beyond a limit; detail: which limit and where).
    Result<Found> found_at(Length length) const;
    Result<Angle> droop_at(Length length) const;

private:
    struct Knot {
        double droop, length;
        double by_length, bent;  // dα/dl and half of d²α/dl²
        double cosine, sine;     // of the droop
    };
    LinkageMap() = default;
    static Limit limit_at(const Knot& knot, LinkageEnd why);
    const Knot& knot_below(double length) const;
    static double between(const Knot& a, const Knot& b, double length);
    Linkage linkage_;
    LinkageConstants constants_;
    std::vector<Knot> knots_;  // droop and length both rise; first and last are the limits
    LinkageEnd shortest_why_{}, longest_why_{};
};

}  // namespace restand
