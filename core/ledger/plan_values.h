#pragma once
// Values of a restore plan as a person would type them. Inside core/ledger only.

#include "core/ledger/swap.h"

namespace restand {

double value_of(const StoredReading& stored);      // canonical
// The target's value as typed: the original text if there is one repeat, else the mean.
Typed typed_of(const Reading& reading);
// A solved length, mm, rounded to 0.001 mm or 0.0001 in: finer than anybody sets.
Typed typed_length(double value, Unit unit);

}  // namespace restand
