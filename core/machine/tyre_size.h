#pragma once
// The nominal radius of a tyre from its marking, until somebody measures it: "190/55 ZR17", "120/70-17".
//
//   overall diameter = rim + 2·width·aspect/100      rim: nominal diameter of the code, 17 = 432 mm
//
// Nominal only: fitted and inflated, tyres of one size differ by 3 to 5 mm of radius (common practice, no
// source). Source: UN Regulation 75 (D = d + 2H, H = 0.01·S·Ra; rim codes in mm).

#include <optional>
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

// What is known of a tyre: what one turn of it rolls on the bike, and its marking ("" : not read).
struct KnownTyre {
    std::optional<Length> circumference{};
    std::string_view marking{};
};
// By what another tyre's radius is larger: rolled both times, else by both markings; 0 where one of them says nothing.
Length radius_gained(const KnownTyre& was, const KnownTyre& is);

}  // namespace restand
