#pragma once
// Swaps that are hard to search: an end on its stop, a spring near its kink, or bounded and weighted targets.
// The solver's answer is compared with a general search (general_search.h).

#include "tests/unit/general_search.h"

namespace restand::test {

enum class Hard { rear_on_stop, fork_on_stop, rubber, helper };
constexpr int hard_kinds = 4;

inline void harden(WholeBike& b, Hard hard, RandomBikes& random) {
    const auto spring_stands = [&] { return standing(b, Rider::on); };
    switch (hard) {
        case Hard::rear_on_stop:
            b.shock.installed_length -= mm(random.between(0, 12));
            return;
        case Hard::fork_on_stop:
            b.fork.installed_length -= mm(random.between(15, 45));
            return;
        case Hard::rubber: {
            const auto s = spring_stands();
            if (!s) return;
            const bool rear = random.one_of(0, 1) == 0;
            const double at =
                (rear ? in_mm(s->shock_travel) : in_mm(s->pose.fork_travel)) * random.between(0.6, 1.3);
            const double from = std::max(at, 1.0);
            (rear ? b.shock : b.fork).bump = {
                {mm(from), newton(0)}, {mm(from + random.between(4, 12)), newton(random.between(200, 1500))}};
            return;
        }
        case Hard::helper: {
            SuspensionUnit& u = random.one_of(0, 1) == 0 ? b.shock : b.fork;
            const double rate = random.between(8, 30);
            u.helper = Spring{newton_per_mm(rate), mm(30), mm(random.between(6, 14))};
            const double k = u.spring.rate.value, share = (30 - u.helper->block_length->value) * rate;
            const double closed_at = share * (k + rate) / (k * rate);
            u.installed_length = u.spring.free_length + mm(30) - mm(closed_at + random.between(-8, 6));
            return;
        }
    }
}

struct HardSwap {
    WholeCase whole;
    bool exact = false;  // some point inside the ranges meets every target
};

// nullopt: this bike has no such position, or its end is not on its stop.
inline std::optional<HardSwap> hard_swap(int i, RandomBikes& random) {
    const Hard hard = static_cast<Hard>(i % hard_kinds);
    WholeBike b = random.bike();
    b.chain.reset();
    harden(b, hard, random);
    const auto alone = standing(b, Rider::off);
    if (!alone) return std::nullopt;
    if (hard == Hard::rear_on_stop && !alone->rear_topped_out) return std::nullopt;
    if (hard == Hard::fork_on_stop && !alone->fork_topped_out) return std::nullopt;
    static constexpr Adjustable pairs[][2] = {{Adjustable::shock_length, Adjustable::shock_installed},
                                        {Adjustable::fork_position, Adjustable::fork_installed},
                                        {Adjustable::shock_installed, Adjustable::fork_installed},
                                        {Adjustable::shock_length, Adjustable::fork_position}};
    HardSwap out{{b, {}, {}}, random.one_of(0, 2) > 0};
    for (const Adjustable adjustable : pairs[random.one_of(0, 3)]) {
        const double now = value(b, adjustable), by = random.between(4, 15);
        out.whole.adjusters.push_back({adjustable, now, now - by, now + by});
    }
    WholeBike known = b;
    for (const WholeAdjuster& a : out.whole.adjusters) put(known, a.what, random.between(a.min, a.max));
    static constexpr TargetKind kinds[] = {TargetKind::rear_height, TargetKind::front_height,
                                           TargetKind::rake,        TargetKind::trail,
                                           TargetKind::rear_sag,    TargetKind::front_sag};
    std::vector<Target> targets;
    // One tolerance for all, so that misses can be compared directly.
    const double tolerance = std::pow(10.0, random.between(-2, 1));
    for (int j = random.one_of(1, 2); j > 0; --j) {
        Target t{};
        t.what = kinds[random.one_of(0, 5)];
        t.state = random.one_of(0, 2) > 0 ? State::static_ : State::rider;
        t.must_hold = true;
        t.tolerance = tolerance;
        targets.push_back(t);
    }
    const auto told = measured_by(known, targets);
    if (!told) return std::nullopt;
    out.whole.targets = *told;
    if (!out.exact)
        for (Target& t : out.whole.targets) t.value += random.between(-4, 4);
    return out;
}

struct Held {
    int looked = 0, at_stop = 0, exact = 0, worse = 0;
    double worst = 0.0;  // largest excess over the general search's miss, in the target's unit
    std::vector<int> which;
};

inline double root(double squared) { return std::sqrt(std::max(0.0, squared)); }

// Runs `swaps` hard ones. Worse: the root of the squared misses exceeds the grid's by more than 1e-6.
inline Held against_grid(int swaps, unsigned seed, int count, std::size_t refined) {
    RandomBikes random(seed);
    Held out;
    for (int i = 0; out.looked < swaps; ++i) {
        auto swap = hard_swap(i, random);
        if (!swap) continue;
        WholeCase& whole = swap->whole;
        const auto answer = restore(whole);
        if (!answer) continue;
        ++out.looked;
        out.at_stop += i % hard_kinds < 2;
        out.exact += swap->exact;
        // The grid knows no tolerance, so all are 1.
        for (Target& t : whole.targets) t.tolerance = 1.0;
        const GeneralSearch search(whole, answer->ends);
        const Missed solved = search.missed_at(answer->setting);
        const Missed grid = search.missed_at(search.on_grid(count, refined));
        const double more = root(solved.must) - root(grid.must);
        out.worst = std::max(out.worst, more);
        if (more > 1e-6) ++out.worse, out.which.push_back(i);
    }
    return out;
}

// Other springs and narrow ranges: three or four adjusters, and five or six weighted targets. Every third
// swap has a target that must hold.
inline std::optional<WholeCase> bounded_swap(int i, RandomBikes& random) {
    WholeBike before = random.bike();
    before.chain.reset();
    static constexpr TargetKind kinds[] = {
        TargetKind::rear_height,  TargetKind::front_height, TargetKind::rake,
        TargetKind::trail,        TargetKind::wheelbase,    TargetKind::arm_to_ground,
        TargetKind::pivot_height, TargetKind::rear_sag,     TargetKind::front_sag};
    std::vector<Target> targets;
    for (int j = random.one_of(5, 6); j > 0; --j) {
        Target t{};
        t.what = kinds[random.one_of(0, 8)];
        t.state = random.one_of(0, 2) > 0 ? State::rider : State::static_;
        t.weight = random.between(0.1, 3);
        t.tolerance = random.between(0.2, 2);
        targets.push_back(t);
    }
    targets.front().must_hold = i % 3 == 0;
    const auto told = measured_by(before, targets);
    if (!told) return std::nullopt;
    WholeCase whole{before, *told, {}};
    WholeBike& b = whole.bike;
    b.shock.spring.rate = b.shock.spring.rate * random.between(0.92, 1.1);
    b.shock.length += mm(random.between(-4, 4));
    b.fork.spring.rate = b.fork.spring.rate * random.between(0.93, 1.07);
    static constexpr Adjustable adjustables[] = {Adjustable::shock_length, Adjustable::shock_installed,
                                                 Adjustable::fork_position, Adjustable::fork_installed};
    for (int k = 0; k < random.one_of(3, 4); ++k) {
        const double now = value(b, adjustables[k]);
        whole.adjusters.push_back(
            {adjustables[k], now, now - random.between(1, 8), now + random.between(1, 8)});
    }
    return whole;
}

inline Held against_many_starts(int swaps, unsigned seed, int starts) {
    RandomBikes random(seed);
    Held out;
    for (int i = 0; out.looked < swaps; ++i) {
        const auto whole = bounded_swap(i, random);
        const auto answer = whole ? restore(*whole) : Result<WholeAnswer>(Error{});
        if (!answer) continue;
        ++out.looked;
        const GeneralSearch search(*whole, answer->ends);
        const Missed solved = search.missed_at(answer->setting);
        const Missed other = search.missed_at(search.from_many_starts(random, starts));
        // Compare first what must hold; if both hold it equally, compare the rest. Squared misses that differ
        // by 1e-8 or less count as equal. The other search weights what must hold by 1e6 (GeneralSearch): to
        // first order, its remaining miss there can lower the rest by twice its cost.
        const double must = solved.must - other.must;
        const double more = must > 1e-8 ? must : solved.rest - other.rest - 2.5e6 * other.must;
        out.worst = std::max(out.worst, more);
        if (more > 1e-6 * (1.0 + other.rest)) ++out.worse, out.which.push_back(i);
    }
    return out;
}

}  // namespace restand::test
