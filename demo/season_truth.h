#pragma once
// One end of an invented bike as it really is: parts and loads of which everything else follows. What would a
// tape, a calliper, a glance at a mark say of it?
//
// Heights are where the core's mechanics make the end stand. Springs are a little off their mark and
// measurements scatter a little, both by a fixed sequence, so every season made is the same.

#include <map>

#include "core/machine/end.h"
#include "core/measure/reading.h"
#include "core/restore/restore.h"
#include "demo/season_table.h"

namespace restand::demo {

class Scatter {
public:
    double next();  // evenly within −1 … 1

private:
    std::uint64_t state_ = 27;
};

class EndTruth {
public:
    // The map as the bike describes it. It must be sound.
    EndTruth(const BikeBody& bike, End end, const EndAsFound& found);

    void fit(const std::vector<Line>& parts,
             double off_the_mark);  // a spring among them: its rate's share off
    void know(const Line& line);
    void set(Point point, Length value);  // an adjuster, in truth
    bool knows(Point point) const { return known_.contains(point); }

    // As `by` would read it, with the gauge or a tape; needs knows() unless it is a height.
    Reading read(Point point, bool gauge, bool comma, Scatter& scatter) const;
    Length value(Point point) const;

private:
    struct Known {
        Typed typed;
        double value;
        std::string where;
    };
    SuspensionUnit unit() const;
    double height(Point point) const;

    End end_;
    std::map<Point, Known> known_;
    double off_the_mark_ = 0.0;
    Force still_, rider_;
    HeightMap map_;
};

// A line as typed, in the team's units.
Typed typed(const Line& line);
Reading reading(const Line& line);

}  // namespace restand::demo
