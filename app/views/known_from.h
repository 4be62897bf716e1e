#pragma once
// Where a value comes from that a page shows as known.

#include "app/app_state.h"

namespace restand {

// From the baseline that the set-up starts from; set or measured since; or since, and is_missed().
enum class KnownFrom { baseline, since, missed_way };
KnownFrom known_from(const AppState& state, const Id& baseline, End end, const StoredReading& stored);
// The way back that set or measured it; nullptr: none, or it is not loaded.
const RestorePlan* way_of(const Ledger& ledger, const StoredReading& stored);
bool is_missed(const Ledger& ledger, const StoredReading& stored);   // a height of a way back not restored

}  // namespace restand
