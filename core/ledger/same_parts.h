#pragma once
// Are the same damper and spring fitted in two set-ups of one bike? As far as known: a point that was not
// read on both sides counts as equal. Inside core/ledger only.

#include "core/ledger/setup.h"

namespace restand {

bool same_damper(End end, const SetUp& now, const SetUp& then);   // by its name, gas force, fork length
bool same_spring(End end, const SetUp& now, const SetUp& then);   // by rate, free length, helper

}  // namespace restand
