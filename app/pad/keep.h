#pragma once
// What becomes of a complete entry on the pad. Inside app/pad only.

#include "app/pad/pad.h"

namespace restand {

Reading reading_of(const Pad& pad);
// On its way to disk, or into the form it belongs to. `confirmed`: a question about it was answered with yes.
void keep(AppState& state, bool confirmed);

}  // namespace restand
