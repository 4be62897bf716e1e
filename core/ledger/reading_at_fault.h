#pragma once
// The reading that an error is about. A restore case names a field that it refuses by its path (format 1,
// casefile/case.md); a swap names a point that it misses by its key and phase. A person types readings.

#include <optional>

#include "core/ledger/swap.h"
#include "core/quantity/result.h"

namespace restand {

// `error`: of solving that end of a swap. {new_part, rear, travel} for "new_unit.travel_mm" of the rear.
// nullopt: no reading of the swap is behind it, as behind "load_scale".
std::optional<ReadAt> reading_at_fault(const Error& error, End end);

}  // namespace restand
