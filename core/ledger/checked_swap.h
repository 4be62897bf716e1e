#pragma once
// A swap as it was at its last check, where a setting has outdated that check since.

#include <optional>
#include <set>

#include "core/ledger/ledger.h"

namespace restand {

// When the last height of this end was read at a check, whether it still counts or not; nullopt: never.
std::optional<Clock> last_check(const Swap& swap, End end);
// The settings of this end that can move a height and were made after that moment.
std::set<Point> set_after(const Swap& swap, End end, Clock check);
// What makes the heights of the part, or how the bike stood before, was read after that moment: another part,
// or a reading mended. What the check found says nothing of it.
bool part_read_after(const Swap& swap, End end, Clock check);
// When the slack was last read with the new parts on, whether it still counts or not; nullopt: never.
std::optional<Clock> last_slack(const Swap& swap);
// The settings that can move the slack and were made after that moment.
std::set<Point> slack_set_after(const Swap& swap, Clock read, Stand slack_stand);
// The swap with what was written by then.
Swap swap_at(const Ledger& ledger, const Swap& swap, Clock until);
// When this end was last checked before its newest setting; nullopt: never, or the part was read again since.
std::optional<Clock> check_before_setting(const Ledger& ledger, const Swap& swap, End end);

}  // namespace restand
