#include "core/ledger/plan_values.h"

#include <charconv>
#include <cmath>

namespace restand {
namespace {

// The shortest text that gives the same value when it is read.
std::string digits(double value) {
    char text[64];
    const auto end = std::to_chars(text, text + sizeof text, value, std::chars_format::fixed).ptr;
    return std::string(text, end);
}

}  // namespace

double value_of(const StoredReading& stored) {
    return measured(stored.reading).value;
}

Typed typed_of(const Reading& reading) {
    if (is_text(reading.point) || reading.repeats.size() == 1) return reading.repeats.back();
    const Unit unit = reading.repeats.back().unit;
    return {digits(from_canonical(measured(reading).value, unit)), unit};
}

Typed typed_length(double value, Unit unit) {
    const double fine = unit == Unit::inch ? 1e4 : 1e3;
    return {digits(std::round(from_canonical(value, unit) * fine) / fine), unit};
}

}  // namespace restand
