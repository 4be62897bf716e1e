#pragma once
// What stands otherwise once a point has another value: one table for swaps, set-ups, trends and the way back.
//
//   topped out   the height with the wheel hanging: only a length moves it, no spring lifts an end off its stop
//   loaded       the heights standing on the spring, alone and with the rider
//   slack        the chain's, as it is read: on the stand, the wheel hanging. Lengths move it with the swingarm
//
// The angles of the bike follow from the heights of both ends, the axle's place and the tyres; they are computed, not
// kept, so nothing here says when one is out of date.

#include "core/measure/point.h"

namespace restand {

struct MovedBy {
    bool topped_out = false, loaded = false;   // ride heights of the same end
    bool slack = false;
    bool any_height() const { return topped_out || loaded; }
};
MovedBy moved_by(Point setting);
// `read`: a ride height or the chain's slack; nothing else is moved by a setting.
bool moves(Point setting, Point read);

}  // namespace restand
