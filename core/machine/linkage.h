#pragma once
// How the swingarm's droop sets the length of the suspension unit, by the linkage's points. How long is the
// unit at this droop, and at which droop has it this length?
//
//   direct              unit between a point of the arm and one of the frame
//   rocker on frame     rod from the arm to a rocker that pivots on the frame and presses the unit
//   rocker on arm       the rocker pivots on the arm, a rod ties it to the frame
//
// All three are one thing: each joint sits on the frame or on the arm. The rocker's place is where two circles
// meet, about its pivot and about the far end of the rod; of the two places the linkage's own (`side`) is kept.
//
//        far end of rod P o------ rod ------o T            side +1: T lies to the left of the line from
//                                          /  \  rocker    pivot Q to P; −1: to the right
//                              pivot Q  o-----o V --- unit --- o U
//
// Droop: positive with the axle below the pivot; a drooping arm is the longer unit. Rigid parts, no play.
// Source: four-bar position by circle intersection and velocity by constraint, Norton, Design of Machinery.

#include <optional>
#include <vector>

#include "core/machine/plane.h"
#include "core/quantity/result.h"

namespace restand {

enum class Carrier { frame, arm };
struct Pin {
    Carrier on = Carrier::frame;
    PlanePoint at;  // in the axes of what it sits on
    friend bool operator==(const Pin&, const Pin&) = default;
};

struct Rocker {
    Pin pivot, rod_end;  // Q and P: the rod's end that is not at the rocker
    Length rod;          // P to T
    Length pivot_to_rod, pivot_to_unit;
    Angle spread;  // from T to V about Q, positive from x towards z
    int side = 1;  // +1 or −1
    friend bool operator==(const Rocker&, const Rocker&) = default;
};

struct Linkage {
    Pin unit_end;  // U: the unit's eye that is not at the rocker
    std::optional<Rocker> rocker;
    Pin direct{Carrier::arm, {}};  // without a rocker: the other eye
    friend bool operator==(const Linkage&, const Linkage&) = default;
};

struct LinkagePlace {
    Length length;  // of the unit
    double slope;   // dl/dα, mm/rad; > 0 where it can work
    double bend;    // d²l/dα², mm/rad²
    PlanePoint rod_at_arm_side, rod_at_rocker, unit_at_rocker, unit_end;  // P, T, V, U in frame axes
};

// nullopt: does not close at this droop.
std::optional<LinkagePlace> place_at(const Linkage& linkage, Angle droop);

// Why the arm can go no further with this linkage.
enum class LinkageEnd {
    stretched,  // rod and rocker in line, reaching as far as they can
    folded,     // rod and rocker in line, folded over each other
    locked,     // the unit's length stands still: a dead point of the unit
    searched,   // none found within the droops looked at
};
std::string_view key(LinkageEnd end);

// A linkage over the droops where it closes and a longer unit means more droop.
class LinkageMap {
public:
    // `near`: a droop it is known to work at. Errors: out_of_range (a length not above 0, a coordinate beyond
    // 2000 mm), no_solution (closes nowhere near it, or the unit gets shorter as the arm droops).
    static Result<LinkageMap> of(const Linkage& linkage, Angle near = degrees(10));

    const Linkage& linkage() const { return linkage_; }
    struct Limit {
        Angle droop;
        Length length;
        LinkageEnd why;
    };
    Limit shortest() const { return knots_.front(); }  // least droop, shortest unit
    Limit longest() const { return knots_.back(); }
    bool covers(Length length) const;
    // Error no_solution: beyond a limit; detail says which, and where.
    Result<Angle> droop_at(Length length) const;

private:
    LinkageMap() = default;
    Linkage linkage_;
    std::vector<Limit> knots_;  // rising droop and length; the first and the last are the limits
};

}  // namespace restand
