#pragma once
// Internal to machine: finds the stable equilibrium (rest) of a bike that is lowered from topped out.
//
//   left(α)   rear spring moment minus the moment the load requires; droop α, fork and tyres at rest
//   rest      left(α) rises through 0 as the rear compresses, so a small displacement is pushed back from
//             either side. Also: topped out with left >= 0, and the end of the travel with left < 0.
//
// Falling leverage, a closing helper spring or a softening rubber can make left(α) rise and fall, so there
// can be several rests. The least compressed one is used: a bike lowered off its stands stays there.
//
// 1. left(α) is sampled in steps over the travel and at every kink of the spring. A rest is bracketed before
//    Newton's method starts. If Newton leaves the bracket, bisection is used.
// 2. The fork's rest is the one with the least travel, found piece by piece along the fork's force curve.

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
    // All rests, least compressed first. Error: no_solution (there is none).
    Result<std::vector<Rest>> all() const;

private:
    // Fork and tyres in equilibrium at a given droop.
    struct Slaved {
        BikeState<double> at;
        Hold fork = Hold::spring;
        double left = 0.0;
        bool sound = true;  // false: the fork carries its load nowhere in its travel
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
    std::vector<Knot> fork_knots_;  // at 0, the kinks and the end of travel; force is convex between them
    bool fork_ends_ = false;        // the fork's travel ends at a stop
};

}  // namespace restand
