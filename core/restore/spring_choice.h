#pragma once
// Which of these springs gives the wanted rider sag, with free sag and preload inside their bands?
//
// The spring in the bike serves as load cell: the static height and the rider height give both wheel loads.
// For each spring, the force needed at the wanted rider height gives the preload. The height at which the
// bike stands without the rider gives the free sag.
//
//   p = (W·i⁻¹ − F_gas(x) − F_bump(x))/(n·k) − x      x: travel at the wanted rider height, i⁻¹ = dh/dl there
//
// The team chooses the bands. Common practice, no source: rider sag is a quarter to a third of wheel travel;
// at the rear, free sag is a quarter to a third of rider sag.

#include <span>

#include "core/restore/restore.h"

namespace restand {

struct Band {
    Length low, high;
    bool holds(Length v) const { return v >= low && v <= high; }
    Length middle() const { return (low + high) * 0.5; }
    // Distance of `v` from the band: 0 inside, negative below, positive above.
    Length beyond(Length v) const { return v < low ? v - low : v > high ? v - high : mm(0); }
    friend bool operator==(const Band&, const Band&) = default;
};

struct SpringWish {
    Length rider_sag;
    Band free_sag, preload;
};

struct SpringOption {
    std::size_t index = 0;               // in `springs`
    Length preload, installed_length;    // preload < 0: loose when topped out; the wanted sag is not reached
    std::optional<Length> free_sag;      // nullopt: no static height was read, or it is off the map
    std::optional<Rate> wheel_rate;      // with rider; nullopt: the end finds no equilibrium at that load
    std::optional<Length> block_margin;  // nullopt: block length or travel is unknown
    bool clears() const { return !block_margin || *block_margin >= mm(0); }
    bool fits(const SpringWish& wish) const {
        return wheel_rate && clears() && wish.preload.holds(preload) &&
               (!free_sag || wish.free_sag.holds(*free_sag));
    }
};

// One option per spring. Options that fit come first, ordered by the distance of the free sag from the middle
// of its band; the others follow, ordered by how far they miss. Used from `now`: the map, the unit and
// heights of `before` and the travel of `new_unit`; each spring is fitted to the unit of `before`.
// Errors: as restore(); missing: no rider height; out_of_range: the wanted sag is off the map or beyond the
// travel; contradiction: the unit has a top-out spring. A force table of a spring is not used.
Result<std::vector<SpringOption>> spring_options(const SwapCase& now, std::span<const Spring> springs,
                                                 const SpringWish& wish);

}  // namespace restand
