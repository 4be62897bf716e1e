#pragma once
// How a bike was set when an entry of its time line was written.

#include "core/ledger/setup.h"

namespace restand {

// The set-up that an entry of the time line stands for: of a baseline, also a retracted one, all that it
// holds; of a record what it says and no more; of a swap how the bike stood before it, with what the swap
// read of the old part; else the set-up at its moment.
SetUp setup_then(const Ledger& ledger, const Fact& moment);

}  // namespace restand
