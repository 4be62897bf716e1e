#pragma once
// Nominal radius of a tyre from its marking, used until a measured one exists: "190/55 ZR17", "120/70-17".
//
//   overall diameter = rim + 2·width·aspect/100      rim: nominal diameter of the code, 17 = 432 mm
//
// Nominal only: the radii of fitted, inflated tyres of one size differ by 3 to 5 mm (common practice, no
// source). Source of the formula: UN Regulation 75 (D = d + 2H, H = 0.01·S·Ra; rim codes in mm).

#include <optional>
#include <string_view>

#include "core/quantity/quantity.h"
#include "core/quantity/result.h"

namespace restand {

struct TyreSize {
    Length width;           // nominal section width
    int aspect = 0;         // height/width, %
    int rim_code = 0;       // inches, nominal
    Length radius() const;  // unloaded
};
// Ignores letters for construction and speed, and everything after the rim code ("M/C", load and speed
// symbols). Errors: wrong_type (not a marking), out_of_range (allowed: width 50 to 300, aspect 25 to 100, rim
// 10 to 21).
Result<TyreSize> tyre_size(std::string_view marking);

// Known data of a tyre: circumference rolled in one turn on the bike, and marking ("": unknown).
struct KnownTyre {
    std::optional<Length> circumference{};
    std::string_view marking{};
};
// Radius of tyre `is` minus radius of tyre `was`. From both circumferences; if one is missing, from both
// markings; otherwise 0.
Length radius_gained(const KnownTyre& was, const KnownTyre& is);

}  // namespace restand
