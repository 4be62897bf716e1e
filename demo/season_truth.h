#pragma once
// One end of an invented bike as it really is: parts and loads of which everything else follows. What would a
// tape, a calliper, a glance at a mark say of it?
//
// Heights are where the core's mechanics make the end stand, with the fuel and the rider of the day. Slack is
// what the core's chain run has with the wheel hanging: links as long as the gauge says, the arm longer by
// what the axle went back. Springs are a little off their mark and
// measurements scatter a little, both by a fixed sequence, so every season made is the same.

#include <map>

#include "core/machine/chain.h"
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
    // The map as the bike describes it. It must be sound, and its chain must go round.
    EndTruth(const BikeAsFound& bike, End end);

    void fit(const std::vector<Line>& parts,
             double off_the_mark);  // a spring among them: its rate's share off
    void know(const Line& line);
    void set(Point point, Length value);  // an adjuster, in truth
    void move_axle(Length position);      // typed to 0.1 mm
    void tighten(Length slack);           // the axle goes where the chain has so much
    bool knows(Point point) const;

    // As `by` would read it, with the gauge or a tape; needs knows().
    Reading read(Point point, bool gauge, bool comma, Scatter& scatter) const;
    Length value(Point point) const;

private:
    struct Known {
        Typed typed;
        double value;
        std::string where;
    };
    double number(Point point) const { return value(point).value; }
    SuspensionUnit unit() const;
    double height(Point point) const;
    Force load(Point point) const;
    ChainRun chain() const;
    Length arm() const;
    Angle hanging() const;
    Length slack() const;

    BikeBody bike_;
    End end_;
    PlanePoint front_sprocket_;
    std::map<Point, Known> known_;
    double off_the_mark_ = 0.0;
    Force still_, rider_;
    double fuel_found_ = 0.0, rider_found_ = 0.0;
    Length axle_found_, alone_found_;
    HeightMap map_;
};

// A line as typed, in the team's units.
Typed typed(const Line& line);
Reading reading(const Line& line);

}  // namespace restand::demo
