#pragma once
// Inside the machine only: where does a bike come to rest that is let down from topped out?
//
//   left(α)   what the rear springs push more than they are asked for at this droop, fork and tyres at rest there
//   a rest    left rises through 0 as the rear goes in: it is pushed back from both sides; so is topped out with
//             left >= 0, and the end of the travel with left < 0
//
// Falling leverage, a helper that closes or a rubber that gives way bend left(α) up and down: there may be several
// rests. The first one is taken, the least compressed: there a bike stays that is let down off its stands.
//
// 1. left(α) is looked at in steps over the travel and at every kink of the spring; a rest is bracketed before
//    Newton's method is let loose, and halved where that leaves the bracket.
// 2. The fork's rest is the one of least travel, found over the pieces of its force.

#include <optional>
#include <vector>

#include "core/machine/bike_kernel.h"
#include "core/machine/standing_bike.h"

namespace restand {

struct Rest {
    BikeState<double> at;
    Hold rear = Hold::spring, fork = Hold::spring;
};

class RestSearch {
public:
    RestSearch(const WholeBike& bike, const LinkageMap& map, Rider rider);
    // Errors: as standing().
    Result<Rest> first() const;
    // All of them, the least compressed first. Error: there is none.
    Result<std::vector<Rest>> all() const;

private:
    // Fork and tyres at rest at a droop.
    struct Slaved {
        BikeState<double> at;
        Hold fork = Hold::spring;
        double left = 0.0;
        bool sound = true;  // false: the fork carries its load nowhere
    };
    Slaved slaved(double droop, const BikeState<double>& near) const;
    std::optional<double> fork_travel(double asked, double by_travel) const;
    std::vector<double> droops(double top, double bottom) const;
    Result<std::vector<Rest>> search(bool only_first) const;
    Rest finished(const Slaved& near, Hold rear) const;
    std::optional<Rest> between(Slaved less, Slaved more) const;
    Slaved highest(const Slaved& a, const Slaved& b, const Slaved& c) const;
    std::optional<BikeState<double>> newton(BikeState<double> q, Hold rear, Hold fork) const;
    Balance<double> balance_at(const BikeState<double>& q) const;

    const WholeBike& bike_;
    const LinkageMap& map_;
    Rider rider_;
    Adjustables<double> adjustables_;
    struct Knot {
        double travel, force;
    };
    std::vector<Knot> fork_knots_;  // 0, the kinks, the end of the travel; between them the force is convex
    bool fork_ends_ = false;        // at a stop
};

}  // namespace restand
