#pragma once
// Instruments for a reading: the workshop's usual one for the point first, then the others.

#include <vector>

#include "core/measure/reading.h"

namespace restand {

// `value`: canonical; needed where the accuracy is a share of the value.
std::vector<Instrument> instruments(Point point, std::optional<double> value = std::nullopt);
// The instrument that follows `now` (by name); the usual one if `now` is not in the list.
Instrument next_instrument(Point point, const Instrument& now, std::optional<double> value = std::nullopt);

}  // namespace restand
