#pragma once
// How ride height follows unit length: h(l). Three ways to describe it, in rising quality.
//
//   leverage     h = h0 + r·(l − l0)       one ratio; for a fork r = cos(rake) read upright, 1 read along it
//   pairs        monotone cubic (PCHIP) through measured (l, h), rising in both; never extrapolated
//   linkage      the mechanism itself, exact over all it can reach (linkage.h)
//
// leverage ratio r = dh/dl = 1/motion ratio. Heights of a table carry the datum of the day they were
// measured; anchored() shifts them so that a reading taken now fits.
// Source of the cubic: Fritsch & Butland 1984 (as in Boost.Math pchip); between pairs it never overshoots.

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
    // Error out_of_range: 0.3 < r < 6. Unlimited in length until told otherwise.
    static Result<HeightMap> leverage(double ratio);
    // Errors: missing (fewer than 2 pairs; 4 for a curved map), not_sorted, not_monotone, out_of_range.
    static Result<HeightMap> pairs(const std::vector<std::pair<Length, Length>>& length_height);
    // Height: from the rear axle straight to `mark` (frame axes), or without one square to the frame's x.
    // Errors: out_of_range (arm), not_monotone (the height does not rise as the arm droops).
    static Result<HeightMap> linkage(const LinkageMap& linkage, Length arm, std::optional<PlanePoint> mark = {});

    // The same map with heights shifted so that h(length) = height. Error out_of_range when off the map.
    Result<HeightMap> anchored(Length length, Length height) const;
    // What anchored() added; a measure of how far map and reading disagree
    Length shift() const { return shift_; }
    // Heights from the mark that another map was anchored to.
    HeightMap shifted(Length by) const;

    bool covers(Length length) const;
    std::pair<Length, Length> length_range() const;          // ±infinity for a single ratio
    // Errors: no_solution "off the map" with the range in detail.
    Result<MapPoint> at(Length length) const;
    Result<Length> length_at(Length height) const;

private:
    HeightMap() = default;
    double ratio_ = 1.0;                 // used while there is nothing better
    struct Knot { double l, h, slope; };
    std::vector<Knot> knots_;            // rising l and h
    struct Mechanism {
        LinkageMap linkage;
        double arm;
        std::optional<Vec<double>> mark;
        struct Height { double h, by_droop, bent; };   // mm, mm/rad, mm/rad²
        Height at(double droop) const;
        std::optional<double> droop_at(double height) const;
    };
    std::shared_ptr<const Mechanism> mechanism_;
    Length shift_;
};

}  // namespace restand
