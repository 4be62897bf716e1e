#pragma once
// Do a linkage's points and a table measured on the bike say the same, and if not: which nearby points would?
//
//   table: a strut of known length in place of the unit, how far the axle came up at each; where the rise is
//   counted from is not known, so it is fitted always
//   estimate: least squares on the misses and on the moves of every coordinate and length, each in units of
//   its own uncertainty; the rocker's spread is kept
//
// Source: weighted least squares with prior knowledge (Björck, Numerical Methods for Least Squares Problems).

#include "core/machine/linkage.h"

namespace restand {

struct LinkagePair {
    Length unit, axle_rise;  // larger rise: wheel further up, square to the frame's x
};
struct LinkageFit {
    std::vector<Length> misses;  // axle rise by the linkage − measured, the start fitted
    Length worst, rms;
};
// Errors: missing (fewer than 3 pairs), no_solution (a length the linkage cannot have).
Result<LinkageFit> fit_of(const Linkage& linkage, Length arm, const std::vector<LinkagePair>& pairs);
// The points moved as little as possible, each coordinate and length measured to `point_u` (standard
// uncertainty), the pairs to `pair_u`.
struct LinkageEstimate {
    Linkage linkage;
    Length arm;
};
Result<LinkageEstimate> estimated(const Linkage& linkage, Length arm, const std::vector<LinkagePair>& pairs,
                                  Length point_u, Length pair_u);

// Standard uncertainties where nobody says otherwise: what a tape finds of a bolt's centre, and of a height
// (common practice, no source).
struct LinkageTable {
    std::vector<LinkagePair> pairs;
    Length point_u = mm(1.0), pair_u = mm(0.5);
};
// Within: three standard uncertainties, which one honest reading in some four hundred goes beyond.
enum class Agreement {
    agrees,     // the table is met within what it was measured to
    points,     // by points moved within what they were measured to
    contradict  // not even so: a slip in the points or in the table
};
std::string_view key(Agreement agreement);  // "agrees", "points", "contradict"
struct LinkageCheck {
    LinkageFit fit;
    struct Best {
        Linkage linkage;
        Length arm;
        LinkageFit fit;
        Length farthest;  // move of one point or length
    };
    std::optional<Best> best;  // nullopt: none near by that fits better
    Agreement agreement;
};
// Errors: missing (subject pairs), out_of_range, no_solution (subject "pairs[2]": a unit length that the
// points cannot have; or as LinkageMap).
Result<LinkageCheck> checked(const Linkage& linkage, Length arm, const LinkageTable& table);

}  // namespace restand
