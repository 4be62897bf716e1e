// The whole bike with top-out springs in shock and fork and a progressive shock spring: how it hangs and
// stands, by energy; its slopes, by differences; and what is set after a swap.

#include <cmath>

#include "core/machine/unit_terms.h"
#include "tests/unit/weight_energy.h"
#include "tests/unit/whole_kit.h"

using namespace restand;
using namespace restand::test;

namespace {

// A spring through three points near the linear one, and top-out springs that hold most of these bikes off
// their stops when they hang.
void put_top_out(WholeBike& b, RandomBikes& random) {
    const double k = b.shock.spring.rate.value;
    b.shock.spring.table = {
        {mm(15), newton(15 * 0.95 * k)}, {mm(30), newton(30 * k)}, {mm(60), newton(60 * 1.1 * k)}};
    b.shock.top_out = TopOutSpring{newton_per_mm(random.between(1.2, 2.0) * k), mm(random.between(14, 22))};
    b.fork.top_out = TopOutSpring{newton_per_mm(random.between(30, 50)), mm(random.between(20, 30))};
}
WholeBike topped(RandomBikes& random) {
    WholeBike b = random.bike();
    b.chain.reset();
    put_top_out(b, random);
    return b;
}

// Energy stored in a unit, by areas under its straight lines; gas force constant.
double stored(const SuspensionUnit& u, double x) {
    const double d = in_mm(preload(u)) + x, top = std::max(0.0, in_mm(u.top_out->reach) - x);
    double spring = 0.5 * in_newton_per_mm(u.spring.rate) * d * d;
    if (!u.spring.table.empty()) {
        const auto force = [&](double at) {
            SpringPoint a{}, b = u.spring.table[0];
            for (std::size_t i = 1; i < u.spring.table.size() && at > in_mm(b.deflection); ++i)
                a = b, b = u.spring.table[i];
            return in_newton(a.force) + (at - in_mm(a.deflection)) / in_mm(b.deflection - a.deflection) *
                                            in_newton(b.force - a.force);
        };
        double from = 0;
        spring = 0;
        for (const SpringPoint& p : u.spring.table) {
            const double to = std::min(d, in_mm(p.deflection));
            if (to > from) spring += 0.5 * (force(from) + force(to)) * (to - from), from = to;
        }
        if (d > from) spring += 0.5 * (force(from) + force(d)) * (d - from);
    }
    return u.legs * spring + in_newton(u.gas.topped_out) * x +
           0.5 * in_newton_per_mm(u.top_out->rate) * top * top;
}
double shock_travel(const WholeBike& b, double droop) {
    return in_mm(b.shock.length - place_at(b.linkage, radians(droop))->length);
}

bool at_a_kink(const SuspensionUnit& u, double travel) {
    for (const double kink : unit_kinks(u))
        if (std::fabs(kink - travel) < 0.05) return true;
    return false;
}

const std::vector<Target> some_targets = {{TargetKind::rear_height, State::topped_out},
                                          {TargetKind::front_height, State::topped_out},
                                          {TargetKind::rear_height, State::static_},
                                          {TargetKind::rear_height, State::rider},
                                          {TargetKind::front_height, State::rider},
                                          {TargetKind::rear_sag, State::rider},
                                          {TargetKind::front_sag, State::static_},
                                          {TargetKind::rake, State::topped_out},
                                          {TargetKind::trail, State::rider}};

}  // namespace

TEST_CASE("whole bike on top-out springs: hanging, the energy of springs, wheels and arm is stationary") {
    RandomBikes random(60);
    int rear = 0, front = 0;
    for (int i = 0; i < 500; ++i) {
        const WholeBike b = topped(random);
        const auto map = LinkageMap::of(b.linkage);
        const auto pose = hanging_pose(b, *map);
        REQUIRE(pose.has_value());
        const Masses& m = *b.masses;
        const auto energy = [&](double a) {
            const double arm = std::sin(a) * in_mm(m.arm.at.x) + std::cos(a) * in_mm(m.arm.at.z);
            return standard_gravity *
                       (m.arm.mass.value * arm - m.rear_wheel.value * in_mm(b.arm) * std::sin(a)) +
                   stored(b.shock, shock_travel(b, a));
        };
        const double droop = pose->droop.value, h = 1e-5;
        const double slope = (energy(droop + h) - energy(droop - h)) / (2 * h);
        if (shock_travel(b, droop) > 1e-6) {
            ++rear;
            // N·mm per rad; rounding of energies of 1e5 N·mm over 2e-5 rad, 1e-6, and h² times the curvature.
            if (!at_a_kink(b.shock, shock_travel(b, droop))) REQUIRE(std::fabs(slope) < 0.05);
        } else {
            REQUIRE(slope < 0.0);  // further out there is less energy, but there is the stop
        }
        const auto fork = [&](double s) {
            return standard_gravity * m.front_unsprung.value * s * cos(b.geometry.axis) + stored(b.fork, s);
        };
        const double s = in_mm(pose->fork_travel);
        if (s == 0.0) continue;
        ++front;
        REQUIRE(std::fabs(fork(s + 1e-3) - fork(s - 1e-3)) / 2e-3 < 1e-5);
    }
    CHECK(rear > 250);
    CHECK(front > 450);
}

TEST_CASE("whole bike on top-out springs: on its wheels the energy is stationary") {
    RandomBikes random(61);
    int stood = 0;
    for (int i = 0; i < 1000; ++i) {
        const WholeBike b = topped(random);
        const Rider rider = i % 2 ? Rider::on : Rider::off;
        const auto at = standing(b, rider);
        REQUIRE(at.has_value());
        if (at->rear_topped_out || at->fork_topped_out || at->rear_bottomed || at->fork_bottomed) continue;
        const double a = at->pose.droop.value, s = in_mm(at->pose.fork_travel), da = 1e-5, ds = 0.01;
        if (at_a_kink(b.shock, in_mm(at->shock_travel)) || at_a_kink(b.fork, s)) continue;
        ++stood;
        const auto u = [&](double x, double y) {
            return weight_energy(b, rider, a + x, s + y) + stored(b.shock, shock_travel(b, a + x)) +
                   stored(b.fork, s + y);
        };
        // Rounding of energies of 1e6 N·mm over these steps.
        REQUIRE(std::fabs(u(da, 0) - u(-da, 0)) / (2 * da) < 0.5);
        REQUIRE(std::fabs(u(0, ds) - u(0, -ds)) / (2 * ds) < 1e-5);
    }
    CHECK(stood > 700);
}

TEST_CASE("whole bike on top-out springs: every slope is the differences' limit, topped out too") {
    RandomBikes random(62);
    int compared = 0;
    for (int i = 0; i < 200; ++i) {
        const WholeBike b = topped(random);
        const auto at = terms_of(b, some_targets, adjustables_of(b));
        REQUIRE(at.has_value());
        const auto alone = standing(b, Rider::off), with_rider = standing(b, Rider::on);
        const auto hung = hanging_pose(b, *LinkageMap::of(b.linkage));
        const double hung_travel = shock_travel(b, hung->droop.value), hung_fork = in_mm(hung->fork_travel);
        if (alone->rear_topped_out || with_rider->rear_bottomed || with_rider->fork_bottomed) continue;
        bool kink = hung_travel < 0.05 || hung_fork < 0.05 || at_a_kink(b.shock, hung_travel) ||
                    at_a_kink(b.fork, hung_fork);
        for (const auto& stands : {alone, with_rider})
            kink = kink || at_a_kink(b.shock, in_mm(stands->shock_travel)) ||
                   at_a_kink(b.fork, in_mm(stands->pose.fork_travel));
        if (kink) continue;
        ++compared;
        for (const Adjustable adjustable :
             {Adjustable::shock_length, Adjustable::shock_installed, Adjustable::fork_installed,
              Adjustable::fork_position, Adjustable::arm, Adjustable::rod}) {
            if (adjustable == Adjustable::rod && !b.linkage.rocker) continue;
            constexpr double h = 1e-3;
            const auto told = [&](double by) {
                WholeBike moved = b;
                put(moved, adjustable, value(b, adjustable) + by);
                return measured(moved, some_targets);
            };
            const auto less = told(-h), more = told(h);
            for (std::size_t j = 0; j < some_targets.size(); ++j) {
                CAPTURE(key(adjustable));
                CAPTURE(key(some_targets[j].what));
                const double slope = (more[j].value - less[j].value) / (2 * h);
                // As for bikes without: rounding of the difference, and its truncation.
                REQUIRE(std::fabs((*at)[j].slope[static_cast<int>(adjustable)] - slope) <
                        1e-4 * std::max(1.0, std::fabs(slope)));
            }
        }
    }
    CHECK(compared > 80);
}

TEST_CASE(
    "whole bike on top-out springs: after other springs and top-out springs it hangs and stands as before") {
    RandomBikes random(63);
    int held = 0, wrong = 0, cases = 0;
    for (int i = 0; i < 150; ++i) {
        const WholeBike before = topped(random);
        WholeBike fresh = with_other_springs(before, random);
        put_top_out(fresh, random);
        WholeCase whole{fresh, {}, {}};
        std::vector<Target> targets = {{TargetKind::rear_height, State::topped_out},
                                       {TargetKind::rear_height, State::rider},
                                       {TargetKind::front_height, State::topped_out},
                                       {TargetKind::front_height, State::rider}};
        for (Target& t : targets) t.must_hold = true;
        whole.targets = measured(before, targets);
        whole.adjusters = {any(Adjustable::shock_length, fresh), any(Adjustable::shock_installed, fresh),
                           any(Adjustable::fork_position, fresh), any(Adjustable::fork_installed, fresh)};
        const auto answer = restore(whole);
        REQUIRE(answer.has_value());
        ++cases;
        if (!answer->held) continue;
        ++held;
        // The answer's bike, hung and stood again, is where the old one was.
        const auto is = measured(answer->bike, whole.targets);
        for (std::size_t j = 0; j < is.size(); ++j)
            REQUIRE(std::fabs(is[j].value - whole.targets[j].value) < 1e-6);
        // Where the new unit hangs off its stop, leaving its top-out spring out is wrong.
        WholeBike without = answer->bike;
        without.shock.top_out.reset();
        wrong += measured(without, whole.targets)[0].value - whole.targets[0].value > 1.0;
        // No spring rattles in the unloaded unit.
        REQUIRE(least_preload(answer->bike.shock) >= mm(-1e-9));
    }
    CHECK(held == cases);
    CHECK(wrong > 50);
}
