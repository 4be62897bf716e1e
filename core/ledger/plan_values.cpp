#include "core/ledger/plan_values.h"

#include <cmath>

namespace restand {

double value_of(const StoredReading& stored) {
    return measured(stored.reading).value;
}

Typed as_typed(const Reading& reading) {
    const Typed& last = reading.repeats.back();
    const bool one = reading.repeats.size() == 1 && !is_computed(reading);
    return is_text(reading.point) || one ? last : typed_as_shown(measured(reading).value, last.unit);
}

bool shown_alike(double a, double b, Unit unit) {
    constexpr double rounding = 1e-9;
    return std::fabs(a - b) <= half_shown(unit) + rounding;
}

std::optional<double> turns_between(const SetUp& now, End end, Point point, double from, double to) {
    const StoredReading* per_turn =
        now.stored(end, point == Point::eye_to_eye ? Point::length_mm_per_turn : Point::collar_mm_per_turn);
    if (!per_turn || value_of(*per_turn) <= 0) return std::nullopt;
    const double longer = (to - from) / value_of(*per_turn);
    return point == Point::spring_installed_length ? -longer : longer;  // collar in: a shorter spring
}

}  // namespace restand
