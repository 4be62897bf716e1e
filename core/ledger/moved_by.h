#pragma once
// The readings that change when a setting changes. One table for swaps, set-ups, trends and restore plans;
// the stand that slack is read on counts where the bike is at hand: chain, attitude, restore plans.
//
//   topped out   height with the wheel hanging. Only a length changes it; at the stop a spring does not
//   loaded       heights standing on the spring, without and with the rider
//   slack        of the chain, as read. Wheel hanging: a length changes it through the swingarm. On a stand
//                under the swingarm the shock is loaded: what moves the loaded heights moves it, too
//
// The angles of the bike follow from the heights of both ends, the axle position and the tyres. They are
// computed, not stored, so this table does not contain them.

#include "core/ledger/body.h"

namespace restand {

struct MovedBy {
    bool topped_out = false, loaded = false;   // ride heights of the same end
    bool slack = false;
    bool any_height() const { return topped_out || loaded; }
};
MovedBy moved_by(Point setting, Stand slack_stand = Stand::hanging);
// True if `setting` changes `read`. `read`: a ride height or the chain slack; other points: false.
bool moves(Point setting, Point read, Stand slack_stand = Stand::hanging);

}  // namespace restand
