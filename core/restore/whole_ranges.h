#pragma once
// What a case of the whole bike may ask, and how far each adjuster may really go. Inside core/restore only.

#include "core/restore/bounded_least_squares.h"
#include "core/restore/whole.h"

namespace restand {

inline constexpr std::size_t most_targets = most_rows - 1;  // a kink takes a row

// Errors: missing, contradiction, out_of_range, as restore() has them; subject names the adjuster or the target.
Outcome validate(const WholeCase& whole);

// The adjuster's range, cut where the spring would be loose or its coils would touch.
AdjusterEnds ends_of(const WholeBike& bike, const WholeAdjuster& adjuster);
std::vector<AdjusterEnds> endless(std::size_t count);  // as if there were no ends

}  // namespace restand
