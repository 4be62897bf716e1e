#pragma once
// Many places of one linkage at once, in arrays, for tables and plots. The same equations as for one
// place (linkage_kernel.h), in loops that the compiler turns into vector instructions. Sine and cosine are
// those of lane_math.h, so a length may differ from that of place_at() by rounding.

#include <span>
#include <vector>

#include "core/machine/linkage_constants.h"

namespace restand {

// By droop, as in LinkagePlace: mm, mm/rad, mm/rad². All three are 0 where the linkage does not close.
struct LinkagePlaces {
    std::vector<double> length, slope, bend;
    std::vector<double> cosine, sine;  // of the droop
};

// Droop in rad.
LinkagePlaces places_at(const LinkageConstants& linkage, std::span<const double> droop);

}  // namespace restand
