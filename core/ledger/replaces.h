#pragma once
// Two things said of the same subject (kind, bike and `about` are the same): does the later one take the earlier
// one's place, so that the earlier one must not be written after it?
//   reading: of the same phase, end and point; both are of one swap, which says its end in one way
//   change:  every value of the earlier one is set anew by the later one
//   others:  only the same words

#include "core/ledger/body.h"

namespace restand {

bool takes_the_place_of(const Body& later, const Body& earlier);

}  // namespace restand
