#pragma once
// What changed between two set-ups of one bike, and what each change does to the bike by itself.
//
// Points that are set together count as one change: a spring with its preload, a tyre with what it rolls.
// Each is put on the earlier set-up alone; so the effects add up to the whole only as far as they are small.
//
//   heights     ride heights of that end, after − before, by its own height map and springs (stance_change)
//   attitude    rider on, else standing alone: rake, trail, and the swingarm to the ground, after − before

#include "core/ledger/chassis.h"

namespace restand {

enum class ChangeOf { length, spring, gas, position, link_rod, oil, chain, tyre, load, inside, others };
ChangeOf change_of(Point point);
// True for what is read on the bike and not set or fitted: heights, their load, slack, wear, hot pressures.
bool is_only_read(Point point);

struct ChangeEffect {
    End end;
    ChangeOf of;
    std::vector<Point> points;           // that differ; known on one side only is no change
    StanceChange stance;
    // nullopt: the bike's geometry or a height is not known
    std::optional<Angle> rake, arm;
    std::optional<Length> trail;
};
// Rear, then front. Clicks and pressures have no effect that is computed; they are listed without one.
// `described`: what the bike's geometry was measured with (chassis.h).
std::vector<ChangeEffect> change_effects(const BikeBody& bike, const SetUp& was, const SetUp& is,
                                         const SetUp& described);

}  // namespace restand
