#pragma once
// What becomes of a complete entry on the pad. Inside app/pad only.

#include "app/pad/pad.h"

namespace restand {

// The stored reading of the field: of the swap, or of the part on the shelf; nullptr: none.
const Reading* standing_reading(const AppState& state, const Field& field);
Reading reading_of(const Pad& pad);
// On its way to disk, or into the form it belongs to. `confirmed`: a question about it was answered with yes.
void keep(AppState& state, bool confirmed);

}  // namespace restand
