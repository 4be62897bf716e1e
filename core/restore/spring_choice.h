#pragma once
// Which of these springs gives the rider sag that is wanted, with the free sag inside its band and the preload inside
// its range?
//
// The spring in the bike is the load cell: heights static and with the rider give both wheel loads. For each spring the
// preload follows from the force it must give at the wanted rider height; where the bike alone then stands gives the
// free sag.
//
//   p = (W·i⁻¹ − F_gas(x) − F_bump(x))/(n·k) − x       x: travel at the wanted rider height, i⁻¹ = dh/dl there
//
// Bands are the team's wish; common practice, no source: rider sag a quarter to a third of wheel travel, free sag a
// quarter to a third of rider sag at the rear.

#include <span>

#include "core/restore/restore.h"

namespace restand {

struct Band {
    Length low, high;
    bool holds(Length v) const { return v >= low && v <= high; }
    Length middle() const { return (low + high) * 0.5; }
    // By how much `v` lies outside; 0 inside, below negative.
    Length beyond(Length v) const { return v < low ? v - low : v > high ? v - high : mm(0); }
    friend bool operator==(const Band&, const Band&) = default;
};

struct SpringWish {
    Length rider_sag;
    Band free_sag, preload;
};

struct SpringOption {
    std::size_t index = 0;               // in the list asked about
    Length preload, installed_length;    // preload below 0: loose when topped out, and then no such rider sag
    std::optional<Length> free_sag;      // nullopt: the bike alone was never read, or stands off the map
    std::optional<Rate> wheel_rate;      // rider on; nullopt: it does not stand under that load
    std::optional<Length> block_margin;  // nullopt: block length or travel not known
    bool clears() const { return !block_margin || *block_margin >= mm(0); }
    bool fits(const SpringWish& wish) const {
        return wheel_rate && clears() && wish.preload.holds(preload) && (!free_sag || wish.free_sag.holds(*free_sag));
    }
};

// One option a spring, in the order: those that fit, by closeness of the free sag to the middle of its band; then the
// rest, by how far they miss. The end as it stands: map, unit, heights of `now.before`; the same unit takes the spring.
// Errors: as restore(); missing: no rider height; out_of_range: the wanted sag is off the map or beyond the travel.
Result<std::vector<SpringOption>> spring_options(const SwapCase& now, std::span<const Spring> springs,
                                                 const SpringWish& wish);

}  // namespace restand
