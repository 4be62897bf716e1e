#pragma once
// What a reading can be taken with: the workshop's usual instrument for the point first, then the others.

#include <vector>

#include "core/measure/reading.h"

namespace restand {

// `value`: canonical, where the accuracy is a share of it.
std::vector<Instrument> instruments(Point point, std::optional<double> value = std::nullopt);
// The next of them after `now` (by name); the usual one when `now` is none of them.
Instrument next_instrument(Point point, const Instrument& now, std::optional<double> value = std::nullopt);

}  // namespace restand
