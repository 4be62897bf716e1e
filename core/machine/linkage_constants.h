#pragma once
// Internal to machine and restore: a linkage as its equations use it, worked out once for each geometry.

#include "core/machine/plane.h"

namespace restand {

// A point, or the difference of two points: a part fixed to the frame, and a part that turns with the arm.
struct CarriedPoint {
    Vec<double> frame, arm;
};

struct LinkageConstants {
    bool has_rocker = false;
    CarriedPoint unit_end;     // U
    CarriedPoint unit_base;    // Q − U; without a rocker V − U
    CarriedPoint rod_base;     // P − Q
    double arm_squared = 0.0;  // of Q to T, mm²
    double rod = 0.0;
    double side = 1.0;
    Vec<double> to_unit{};  // V − Q = T − Q times this, as complex numbers
};

}  // namespace restand
