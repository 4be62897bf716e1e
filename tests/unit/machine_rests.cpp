// Where a bike comes to rest when its spring force is nonlinear: compared with a fine scan of its energy over
// the travel.

#include <doctest/doctest.h>

#include "tests/unit/random_bike.h"
#include "tests/unit/weight_energy.h"

using namespace restand;
using test::RandomBikes;

namespace {

// Sum of all torques at a droop, N·mm; positive lifts the bike. From energy and unit_force() alone. The fork
// is at the smallest travel where it balances. Rigid wheels.
class Scan {
public:
    Scan(const WholeBike& b, Rider rider) : b_(b), rider_(rider) {
        for (int i = 0; i <= fork_count; ++i)
            fork_.push_back(in_newton(unit_force(b.fork, mm(fork_step * i))));
    }
    double left(double droop) const { return torque(droop, fork_at(droop)); }

    double fork_at(double droop) const {
        // The weight on the fork is nearly linear over its travel.
        const double end = fork_step * fork_count;
        const double first = asked(droop, 0), last = asked(droop, end);
        const auto over = [&](int i) {
            return fork_[static_cast<std::size_t>(i)] - first - (last - first) * i / fork_count;
        };
        if (over(0) >= 0) return 0;
        for (int i = 1; i <= fork_count; ++i)
            if (over(i) >= 0) {
                // Refine to the exact root within this step.
                double a = fork_step * (i - 1), c = fork_step * i;
                for (int k = 0; k < 30; ++k) {
                    const double s = 0.5 * (a + c);
                    (in_newton(unit_force(b_.fork, mm(s))) < asked(droop, s) ? a : c) = s;
                }
                return c;
            }
        return end;
    }
    double torque(double droop, double s) const {
        constexpr double h = 1e-5;
        const auto place = place_at(b_.linkage, radians(droop));
        const double force =
            in_newton(unit_force(b_.shock, std::max(mm(0), b_.shock.length - place->length)));
        return force * place->slope - (gravity(droop + h, s) - gravity(droop - h, s)) / (2 * h);
    }
    // The fork force needed for balance at this travel.
    double asked(double droop, double s) const {
        constexpr double h = 1e-3;
        return -(gravity(droop, s + h) - gravity(droop, s - h)) / (2 * h);
    }
    static constexpr double fork_step = 0.5;
    static constexpr int fork_count = 240;  // 120 mm

private:
    double gravity(double droop, double s) const { return test::weight_energy(b_, rider_, droop, s); }
    const WholeBike& b_;
    Rider rider_;
    std::vector<double> fork_;
};

// A direct shock that leans back: its line comes closer to the pivot as the wheel comes up, so leverage
// falls.
void falling_leverage(WholeBike& b, RandomBikes& random) {
    const double unconstrained = random.between(0.3, 1);
    const bool soft = random.one_of(0, 1) == 1;
    b.linkage.rocker.reset();
    b.linkage.unit_end = {Carrier::frame,
                          random.around(-230 - 300 * unconstrained, 230 - 90 * unconstrained, 20)};
    b.linkage.direct = {Carrier::arm, random.around(-230, 20, 20)};
    const auto near = place_at(b.linkage, degrees(14));
    const double ratio = near->slope / (b.arm.value * std::cos(degrees(14).value));
    b.shock.length = near->length;
    b.shock.travel = mm(100 * ratio * random.between(0.4, 0.8));
    b.shock.spring.rate =
        newton_per_mm((soft ? random.between(0.2, 5) : random.between(4, 18)) / (ratio * ratio));
    const double preload =
        (random.between(soft ? 700 : 300, soft ? 1400 : 700) / ratio - b.shock.gas.topped_out.value) /
        b.shock.spring.rate.value;
    b.shock.installed_length = mm(160 - std::max(0.5, preload));
}

void rubber(SuspensionUnit& u, double travel, RandomBikes& random) {
    const double from = travel * random.between(0.05, 0.8), first = random.between(0.05, 0.2) * travel;
    u.bump = {{mm(from), newton(0)}, {mm(from + first), newton(random.between(100, 900))}};
    // Every second one softens before it gets hard; its force even falls.
    if (random.one_of(0, 1))
        u.bump.push_back({mm(from + 2 * first), u.bump[1].force * random.between(0.5, 1.2)});
    u.bump.push_back(
        {u.bump.back().travel + mm(first), u.bump.back().force + newton(random.between(500, 4000))});
}

void helper(SuspensionUnit& u, double travel, RandomBikes& random) {
    const double main = u.spring.rate.value, rate = main * random.between(0.2, 0.9);
    const double stroke = random.between(0.05, 0.6) * travel * main / (main + rate);
    u.helper = Spring{newton_per_mm(rate), mm(stroke + 10), mm(10)};
    u.installed_length += u.helper->free_length;
}

struct Brute {
    std::vector<double> rests;   // droops, including the end of the travel
    double nearest_miss = 1e30;  // least |torque| of a place that is nearly a rest, N·mm
};
Brute brute(const WholeBike& b, Rider rider, double top, double bottom, int count) {
    Brute out;
    const Scan scan(b, rider);
    std::vector<double> left;
    for (int i = 0; i <= count; ++i) left.push_back(scan.left(top + (bottom - top) * i / count));
    const auto at = [&](int i) { return left[static_cast<std::size_t>(i)]; };
    if (at(0) >= 0) out.rests.push_back(top);
    out.nearest_miss = std::fabs(at(0));
    for (int i = 1; i <= count; ++i) {
        if (at(i - 1) < 0 && at(i) >= 0) out.rests.push_back(top + (bottom - top) * (i - 0.5) / count);
        if (i < count && (at(i) - at(i - 1)) * (at(i + 1) - at(i)) <= 0)
            out.nearest_miss = std::min(out.nearest_miss, std::fabs(at(i)));
    }
    if (at(count) < 0) out.rests.push_back(bottom);
    out.nearest_miss = std::min(out.nearest_miss, std::fabs(at(count)));
    return out;
}

}  // namespace

TEST_CASE(
    "standing bike: with falling leverage, rubbers and helpers it rests where a fine scan of its energy "
    "says, first of all rests") {
    RandomBikes random(50);
    constexpr int count = 350;
    int looked = 0, several = 0, bottomed = 0, on_spring = 0;
    while (looked < 1000) {
        WholeBike b = random.bike();
        b.chain.reset();
        if (random.one_of(0, 9)) falling_leverage(b, random);
        const int what = random.one_of(0, 5);
        if (what != 0) rubber(b.shock, b.shock.travel->value, random);
        if (what == 0 || what == 3) helper(b.shock, b.shock.travel->value, random);
        if (what >= 4) what == 4 ? rubber(b.fork, 120, random) : helper(b.fork, 120, random);
        const auto map = LinkageMap::of(b.linkage);
        if (!map) continue;
        const auto top = map->droop_at(b.shock.length),
                   bottom = map->droop_at(b.shock.length - *b.shock.travel);
        if (!top || !bottom) continue;
        const Rider rider = random.one_of(0, 1) ? Rider::on : Rider::off;
        const Brute known = brute(b, rider, top->value, bottom->value, count);
        if (known.nearest_miss < 2000) continue;  // 4 N at the wheel: too close for a scan to tell
        CAPTURE(looked);
        ++looked;
        const double step = (top->value - bottom->value) / count;
        const auto at = standing(b, rider);
        CHECK(at.has_value());
        if (!at) continue;
        several += known.rests.size() > 1;
        bottomed += at->rear_bottomed;
        REQUIRE(std::fabs(at->pose.droop.value - known.rests.front()) <= step);
        const auto all = rests(b, rider);
        REQUIRE(all.has_value());
        REQUIRE(all->size() == known.rests.size());
        for (std::size_t i = 0; i < all->size(); ++i)
            REQUIRE(std::fabs(map->droop_at(b.shock.length - (*all)[i])->value - known.rests[i]) <= step);
        const Scan scan(b, rider);
        const double droop = at->pose.droop.value, s = in_mm(at->pose.fork_travel);
        if (!at->rear_topped_out && !at->rear_bottomed) {
            ++on_spring;
            // Rounding error of energies of 1e6 N·mm over its steps.
            REQUIRE(std::fabs(scan.torque(droop, s)) < 0.5);
        }
        if (!at->fork_topped_out && !at->fork_bottomed)
            REQUIRE(std::fabs(in_newton(unit_force(b.fork, mm(s))) - scan.asked(droop, s)) < 1e-3);
    }
    CHECK(several > 15);
    CHECK(bottomed > 50);
    CHECK(on_spring > 500);
}

TEST_CASE(
    "standing bike: springs too weak for all of the travel: it rests at its end, and without an end it is "
    "refused as such") {
    RandomBikes random(51);
    WholeBike b = random.bike();
    while (b.linkage.rocker) b = random.bike();
    b.shock.spring.rate = newton_per_mm(0.01);
    b.shock.gas = {};
    const auto at = standing(b, Rider::on);
    REQUIRE(at.has_value());
    CHECK(at->rear_bottomed);
    b.shock.travel.reset();
    const auto none = standing(b, Rider::on);
    REQUIRE_FALSE(none.has_value());
    CHECK(none.error().code == ErrorCode::no_solution);
    CHECK(none.error().detail == "the rear springs carry their load nowhere in the travel");
}
