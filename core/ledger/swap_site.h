#pragma once
// A swap with the bike it is made on.
//
// What the swap did not read is taken from how the bike stood when it began; what its parts do not replace
// is the same after as before.

#include "core/ledger/chassis.h"
#include "core/ledger/ledger.h"

namespace restand {

struct SwapSite {
    const BikeBody& bike;
    const Swap& swap;
    SetUp stood{};       // how the bike stood when the swap began
    SetUp described{};   // what its geometry was measured with (chassis.h)
};
SwapSite site_of(const Ledger& ledger, const Bike& bike, const Swap& swap);
// What this swap read there; of the whole bike, at either end: the newer one. nullptr: nothing.
const StoredReading* read_at(const Swap& swap, End end, Phase phase, Point point);
// A reading of the swap's, else (before it) of the bike as it stood; nullptr: neither, or older than what
// moved since.
const StoredReading* stored_at(const SwapSite& site, End end, Phase phase, Point point);
// missing() and unread() of the swap, less what is known of the bike as it stood, less the lengths of a
// spring whose preload is known, and less heights after that there is none before to judge by. A spring whose
// free length nobody knows is set by its preload.
std::vector<ReadAt> missing(const SwapSite& site, Phase phase);
std::vector<ReadAt> unread(const SwapSite& site, Phase phase);
// The slack with the new parts on, as read at 'set' or at the check; nullptr: not read, or moved by a setting
// since. On a swingarm's stand a setting of the spring moves it, too.
const StoredReading* slack_read(const SwapSite& site, Phase phase);
// Of readings left to be made: one is a height of this end.
bool is_height_left(const std::vector<ReadAt>& left, End end);
// How the bike stood before the swap, with what the swap read then over it.
SetUp before_of(const SwapSite& site);
// What the geometry was measured with; what was not read then is taken as `before` has it.
SetUp described_of(const SwapSite& site, const SetUp& before);

}  // namespace restand
