#pragma once
// Compares a linkage's points with a table measured on the bike. If they disagree, estimates nearby points
// that fit the table.
//
//   table: struts of known length in place of the unit, and the axle rise with each. The zero of the rise is
//   unknown, so it is always fitted.
//   estimate: least squares on the residuals and on the shift of every coordinate and length, each divided by
//   its own uncertainty. The rocker's spread is not changed.
//
// Source: weighted least squares with prior knowledge (Björck, Numerical Methods for Least Squares Problems).

#include "core/machine/linkage.h"
#include "core/quantity/conversions.h"

namespace restand {

struct LinkagePair {
    Length unit, axle_rise;  // rise: positive upwards, perpendicular to frame x
};
struct LinkageFit {
    std::vector<Length> misses;  // axle rise from the linkage − measured, zero fitted
    Length worst, rms;
};
// Errors: missing (fewer than 3 pairs), no_solution (a length the linkage cannot have).
Result<LinkageFit> fit_of(const Linkage& linkage, Length arm, const std::vector<LinkagePair>& pairs);
// The points that fit the table with the least shift. Standard uncertainties: `point_u` of each coordinate
// and length, `pair_u` of each pair. Errors: as fit_of(); out_of_range (an uncertainty not above 0).
struct LinkageEstimate {
    Linkage linkage;
    Length arm;
};
Result<LinkageEstimate> estimated(const Linkage& linkage, Length arm, const std::vector<LinkagePair>& pairs,
                                  Length point_u, Length pair_u);

// A measured table. Default standard uncertainties: a bolt centre and a height measured with a tape (common
// practice, no source).
struct LinkageTable {
    std::vector<LinkagePair> pairs;
    Length point_u = mm(1.0), pair_u = mm(0.5);
};
// Limit for agreement: three standard uncertainties. About one good reading in 400 exceeds it.
enum class Agreement {
    agrees,     // all residuals within three u of the table
    points,     // not so, but the estimate's are, with shifts within three u of the points
    contradict  // neither: an error in the points or in the table
};
std::string_view key(Agreement agreement);  // "agrees", "points", "contradict"
struct LinkageCheck {
    LinkageFit fit;
    struct Best {
        Linkage linkage;
        Length arm;
        LinkageFit fit;
        Length farthest;  // largest shift of a point or length
    };
    std::optional<Best> best;  // nullopt: no nearby points fit better
    Agreement agreement;
};
// Errors: missing (subject "pairs"), out_of_range, no_solution (subject "pairs[2]", counted from 1: a unit
// length that the linkage cannot reach; or as LinkageMap).
Result<LinkageCheck> checked(const Linkage& linkage, Length arm, const LinkageTable& table);

}  // namespace restand
