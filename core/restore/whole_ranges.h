#pragma once
// Which whole-bike cases are valid, and the usable range of each adjuster. Internal to core/restore.

#include "core/restore/bounded_least_squares.h"
#include "core/restore/whole.h"

namespace restand {

inline constexpr std::size_t most_targets = most_rows - 1;  // one row is reserved for a kink

// Errors: missing, contradiction, out_of_range as in restore(); subject: the adjuster or the target.
Outcome validate(const WholeCase& whole);

// The adjuster's range, cut where the spring would come loose or its coils would touch.
AdjusterEnds ends_of(const WholeBike& bike, const WholeAdjuster& adjuster);
std::vector<AdjusterEnds> endless(std::size_t count);  // infinite ranges

}  // namespace restand
