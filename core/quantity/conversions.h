#pragma once
// Numbers to quantities and back. The unit is named at each conversion: mm(12.0) makes a Length, in_mm(x)
// gives the number back.

#include "core/quantity/quantity.h"

namespace restand {

constexpr Length mm(double v) { return Length(v); }
constexpr double in_mm(Length v) { return v.value; }
constexpr Force newton(double v) { return Force(v); }
constexpr double in_newton(Force v) { return v.value; }
constexpr Rate newton_per_mm(double v) { return Rate(v); }
constexpr double in_newton_per_mm(Rate v) { return v.value; }
constexpr Pressure megapascal(double v) { return Pressure(v); }
constexpr double in_megapascal(Pressure v) { return v.value; }
constexpr Mass kilogram(double v) { return Mass(v); }
constexpr double in_kilogram(Mass v) { return v.value; }
constexpr Angle radians(double v) { return Angle(v); }
constexpr double in_radians(Angle v) { return v.value; }
inline constexpr double pi = 3.14159265358979323846;
constexpr Angle degrees(double v) { return Angle(v * (pi / 180.0)); }
constexpr double in_degrees(Angle v) { return v.value * (180.0 / pi); }

}  // namespace restand
