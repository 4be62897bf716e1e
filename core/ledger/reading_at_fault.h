#pragma once
// The reading that an error is about. A restore case names a field that it refuses by its path (format 1,
// casefile/case.md); a swap names a point that it misses by its key and phase. A person types readings.

#include <optional>

#include "core/ledger/swap.h"
#include "core/quantity/result.h"

namespace restand {

// `error`: of solving that end of a swap. {new_part, rear, travel} for "new_unit.travel_mm" of the rear; the
// reading before, where `swap` leaves the part in. nullopt: no reading is behind it, as behind "load_scale".
std::optional<ReadAt> reading_at_fault(const Error& error, End end, const Swap* swap = nullptr);
// The same error where there are no steps: its subject is the key of the reading, and what is missing names
// its end.
Error named_by_reading(Error error, End end);

}  // namespace restand
