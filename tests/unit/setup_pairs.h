#pragma once
// Random pairs of set-ups of one bike, with the heights that its mechanics give them, for tests of the
// restore plan.

#include <array>
#include <cmath>

#include "core/ledger/map_of.h"
#include "core/ledger/restore_plan.h"
#include "tests/unit/ledger_kit.h"
#include "tests/unit/restore_cases.h"

namespace restand::test::pairs {

using P = Point;
inline constexpr std::array ends = {End::rear, End::front};
inline constexpr std::array settings = {P::sprocket_front,
                                        P::sprocket_rear,
                                        P::chain_links,
                                        P::tyre,
                                        P::eye_to_eye,
                                        P::spring_installed_length,
                                        P::fork_position,
                                        P::axle_position,
                                        P::chain_slack,
                                        P::clicks_compression_low,
                                        P::clicks_compression_high,
                                        P::clicks_rebound_low,
                                        P::clicks_rebound_high,
                                        P::tyre_pressure_cold};

inline std::string text_of(const SetUp& s, End end, P p) {
    const StoredReading* stored = s.stored(end, p);
    return stored ? stored->reading.repeats.back().text : "";
}

// A bike, its true wheel loads, and the differences between its two moments.
struct Truth {
    BikeBody bike;
    std::array<double, 2> load_static{}, load_rider{};  // by end, N
};

inline void put(SetUp& s, End end, Reading r) {
    s.values[{end, r.point}] = {std::move(r), {}, {}, {}, {}, false};
}
inline void put(SetUp& s, End end, P p, double canonical) {
    put(s, end, exactly(p, canonical));
}

inline double rounded(double v, double step) {
    return std::round(v / step) * step;
}

inline Truth random_truth(Random& random) {
    Truth t;
    if (random.one_in(3)) {
        const double ratio = random.between(1.7, 2.4), change = random.between(-0.2, 0.2) / 90.0;
        for (int i = 0; i < 14; ++i) {
            const double d = -115.0 + 11.0 * i;
            t.bike.rear.pairs.emplace_back(mm(310.0 + d), mm(500.0 + ratio * (d + 0.5 * change * d * d)));
        }
    } else {
        t.bike.rear.leverage = random.between(1.7, 2.4);
    }
    t.bike.geometry.rake = degrees(random.between(22, 26));
    t.bike.rear.tolerance = t.bike.front.tolerance = mm(random.between(1.5, 3.0));
    t.load_static = {random.between(600, 900), random.between(700, 900)};
    t.load_rider = {random.between(1100, 1500), random.between(950, 1150)};
    return t;
}

inline void fit_unit(SetUp& s, Random& random, End end, const char* name) {
    put(s, end, reading(P::part_name, name));
    put(s, end, P::spring_rate,
        rounded(end == End::rear ? random.between(80, 110) : random.between(8.5, 10.5), 0.1));
    put(s, end, P::spring_free_length,
        rounded(end == End::rear ? random.between(155, 165) : random.between(280, 290), 0.1));
    put(s, end, P::gas_force, rounded(end == End::rear ? random.between(100, 300) : 0, 10));
    if (random.one_in(3)) return;
    put(s, end, P::collar_mm_per_turn, 1.5);
    if (end == End::rear) put(s, end, P::length_mm_per_turn, 1.25);
}

inline void adjust(SetUp& s, Random& random, End end) {
    const double free = value_at(s, end, P::spring_free_length);
    put(s, end, P::spring_installed_length,
        rounded(free - random.between(6, end == End::rear ? 14 : 20), 0.1));
    if (end == End::rear) {
        put(s, end, P::eye_to_eye, rounded(random.between(304, 314), 0.1));
        put(s, end, P::eye_to_eye_min, 300.0);
        put(s, end, P::eye_to_eye_max, 318.0);
        put(s, end, P::axle_position, rounded(random.between(15, 35), 0.5));
        put(s, end, P::chain_slack, rounded(random.between(28, 40), 1));
        put(s, end, P::sprocket_front, random.one_in(3) ? 15 : 16);
        put(s, end, P::sprocket_rear, std::floor(random.between(41, 46)));
        put(s, end, P::chain_links, 2 * std::floor(random.between(55, 58)));
    } else {
        put(s, end, P::fork_length, 745.0);
        put(s, end, P::fork_position, rounded(random.between(2, 10), 0.5));
    }
    put(s, end, reading(P::tyre, random.one_in(2) ? "rain" : "slick, soft"));
    put(s, end, P::tyre_pressure_cold, rounded(random.between(0.17, 0.24), 0.005));
    for (const P p : {P::clicks_compression_low, P::clicks_compression_high, P::clicks_rebound_low,
                      P::clicks_rebound_high})
        if (!random.one_in(5)) put(s, end, p, std::floor(random.between(4, 24)));
}

inline EndModel end_model(const Truth& t, const SetUp& s, End end) {
    SuspensionUnit unit;
    unit.legs = end == End::rear ? 1 : 2;
    unit.length = end == End::rear ? *s.length(end, P::eye_to_eye)
                                   : *s.length(end, P::fork_length) - *s.length(end, P::fork_position);
    unit.spring = {
        newton_per_mm(value_at(s, end, P::spring_rate)), *s.length(end, P::spring_free_length), {}};
    unit.installed_length = *s.length(end, P::spring_installed_length);
    unit.gas.topped_out = newton(value_at(s, end, P::gas_force));
    const HeightMap map = map_of(t.bike, end).value();
    if (!t.bike.setup(end).pairs.empty()) return {unit, map};
    return {unit, map.anchored(mm(end == End::rear ? 310 : 740), mm(500)).value()};
}

// The heights of this bike with these settings, from the mechanics alone.
inline std::optional<Stance> stands(const Truth& t, const SetUp& s, End end) {
    const EndModel model = end_model(t, s, end);
    const auto e = static_cast<std::size_t>(end);
    const auto top = standing_under(model, newton(0)),
               still = standing_under(model, newton(t.load_static[e])),
               rider = standing_under(model, newton(t.load_rider[e]));
    if (!top || !still || !rider) return std::nullopt;
    return Stance{top->height, still->height, rider->height};
}

inline bool measure_heights(const Truth& t, SetUp& s, End end) {
    const auto stance = stands(t, s, end);
    if (!stance) return false;
    put(s, end, P::ride_height_topped_out, stance->topped_out->value);
    put(s, end, P::ride_height_static, stance->static_->value);
    put(s, end, P::ride_height_rider, stance->rider->value);
    return true;
}

struct Pair {
    Truth truth;
    SetUp then, now;
    std::array<bool, 2> same_unit{}, same_spring{};
};

inline std::optional<Pair> random_pair(Random& random) {
    Pair p{random_truth(random), {}, {}, {}, {}};
    for (const End end : ends) {
        fit_unit(p.then, random, end, "as it came");
        adjust(p.then, random, end);
        for (const auto& [place, stored] : p.then.values)
            if (place.first == end) p.now.values[place] = stored;
        const auto e = static_cast<std::size_t>(end);
        p.same_unit[e] = !random.one_in(3);
        p.same_spring[e] = p.same_unit[e] && !random.one_in(4);
        if (!p.same_unit[e]) fit_unit(p.now, random, end, "race");
        // Far enough apart that the readings can distinguish them.
        if (p.same_unit[e] && !p.same_spring[e])
            put(p.now, end, P::spring_free_length,
                value_at(p.now, end, P::spring_free_length) + random.between(2, 4));
        adjust(p.now, random, end);
        if (!measure_heights(p.truth, p.then, end) || !measure_heights(p.truth, p.now, end))
            return std::nullopt;
    }
    for (SetUp* s : {&p.then, &p.now}) s->read_with = s->values;
    return p;
}

}  // namespace restand::test::pairs
