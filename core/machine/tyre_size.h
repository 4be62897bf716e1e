#pragma once
// The nominal radius of a tyre from its marking, until somebody measures it: "190/55 ZR17", "120/70-17".
//
//   overall diameter = rim + 2·width·aspect/100      rim: nominal diameter of the code, 17 = 432 mm
//
// Nominal only: fitted and inflated, tyres of one size differ by 3 to 5 mm of radius (common practice, no
// source). Source: UN Regulation 75 (D = d + 2H, H = 0.01·S·Ra; rim codes in mm).

#include <string_view>

#include "core/quantity/quantity.h"
#include "core/quantity/result.h"

namespace restand {

struct TyreSize {
    Length width;           // section, nominal
    int aspect = 0;         // height/width, %
    int rim_code = 0;       // inches, nominal
    Length radius() const;  // unloaded
};
// Letters for construction and speed, "M/C", load and speed symbols behind are passed over. Errors: wrong_type
// (not a marking), out_of_range (width 50 to 300, aspect 25 to 100, rim 10 to 21).
Result<TyreSize> tyre_size(std::string_view marking);

}  // namespace restand
