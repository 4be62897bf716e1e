#pragma once
// Ride height as a function of unit length: h(l). Three descriptions, in order of rising quality:
//
//   leverage     h = h0 + r·(l − l0); one ratio. Fork: r = cos(rake) if read vertically, 1 if read along it
//   pairs        monotone cubic (PCHIP) through measured (l, h), rising in both; never extrapolated
//   linkage      the mechanism itself (linkage.h); exact over its whole range
//
// Leverage ratio r = dh/dl = 1/motion ratio. Heights in a table refer to the datum of the day they were
// measured. anchored() shifts them to match a reading taken now.
// Source of the cubic: Fritsch & Butland 1984 (as in Boost.Math pchip). It does not overshoot between pairs.

#include <memory>
#include <utility>
#include <vector>

#include "core/machine/linkage.h"

namespace restand {

struct MapPoint {
    Length height;       // h(l)
    double leverage;     // dh/dl, > 0
    double curvature;    // d²h/dl², 1/mm
};

class HeightMap {
public:
    // Unlimited in length. Errors: not_a_number, out_of_range (allowed: 0.3 < r < 6).
    static Result<HeightMap> leverage(double ratio);
    // Errors: missing (fewer than 2 pairs; use at least 4 for a curved map), not_a_number, not_sorted,
    // not_monotone, out_of_range.
    static Result<HeightMap> pairs(const std::vector<std::pair<Length, Length>>& length_height);
    // Height: straight line from rear axle to `mark` (frame axes); without a mark, perpendicular to frame x.
    // Errors: out_of_range (arm), not_monotone (the height does not rise as the arm droops).
    static Result<HeightMap> linkage(const LinkageMap& linkage, Length arm,
                                     std::optional<PlanePoint> mark = {});

    // The same map, heights shifted so that h(length) = height. Error: out_of_range (off the map).
    Result<HeightMap> anchored(Length length, Length height) const;
    // Total shift of the heights. After anchored(): the disagreement of map and reading.
    Length shift() const { return shift_; }
    // The same map, heights shifted by `by`: takes over the datum of another map.
    HeightMap shifted(Length by) const;

    bool covers(Length length) const;
    std::pair<Length, Length> length_range() const;          // −infinity to infinity for a single ratio
    // Errors of both: no_solution (off the map; detail: the range).
    Result<MapPoint> at(Length length) const;
    Result<Length> length_at(Length height) const;

private:
    HeightMap() = default;
    double ratio_ = 1.0;                 // used if there are neither knots nor a mechanism
    struct Knot { double l, h, slope; };
    std::vector<Knot> knots_;            // l and h both rise
    struct Mechanism {
        LinkageMap linkage;
        double arm;
        std::optional<Vec<double>> mark;
        struct Height { double h, by_droop, bent; };   // mm, mm/rad, mm/rad²
        Height at(double cosine, double sine) const;   // of the droop
        std::optional<double> droop_at(double height) const;
    };
    std::shared_ptr<const Mechanism> mechanism_;
    Length shift_;
};

}  // namespace restand
