#pragma once
// Two bodies have the same kind, bike and `about`: does the later one replace the earlier one? If so, the
// earlier one must not be written after it.
//   reading: if phase, end and point are equal. Both are of one swap, so both name `end` or neither
//   change:  if the later one sets every value of the earlier one again
//   others:  only if they are equal

#include "core/ledger/body.h"

namespace restand {

bool takes_the_place_of(const Body& later, const Body& earlier);

}  // namespace restand
