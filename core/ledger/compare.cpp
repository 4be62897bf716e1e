// Points are compared as read; derived values are computed on each side and then compared.
//
// The uncertainty of a change depends on what both sides share. One instrument at one mark of one bike has
// the same error both times. A reading that a baseline carried over is one reading, not two that agree.

#include "core/ledger/compare.h"

#include <cmath>

#include "core/ledger/difference.h"
#include "core/ledger/map_of.h"

namespace restand {
namespace {

using P = Point;
using Sides = std::pair<const StoredReading*, const StoredReading*>;

constexpr double change_rounding = 1e-9;  // canonical; 12 5/16 in and 312.7375 mm are one length

// U of is − was. The shared error of one instrument at the same mark of one bike is in both readings and
// cancels. A reading that was carried over is identical on both sides: U is 0.
double expanded_change(const StoredReading& was, const StoredReading& is, bool one_bike) {
    if (one_bike && was == is) return 0.0;
    Measured a = measured(was.reading), b = measured(is.reading);
    if (one_bike && was.reading.instrument == is.reading.instrument)
        a = without_common(a), b = without_common(b);
    return std::hypot(expanded_95(a), expanded_95(b));
}

// Clicks, teeth and links are counted, so another count is always another setting.
bool is_counted_point(Point p) {
    const Dimension d = facts(p).dimension;
    return d == Dimension::clicks || d == Dimension::count;
}

Difference point_difference(End end, Point point, const Sides& sides, bool one_bike) {
    const auto [was, is] = sides;
    Difference d{end, point, {}, {}, {}, {}, {}, {}, false, false};
    if (was) d.was = *was;
    if (is) d.is = *is;
    if (is_text(point)) {
        d.differs = !was || !is || was->reading.repeats != is->reading.repeats;
        d.real = d.differs && was && is;
        return d;
    }
    if (was) d.was_value = measured(was->reading).value;
    if (is) d.is_value = measured(is->reading).value;
    d.differs = !was || !is;
    if (d.differs) return d;
    d.change = *d.is_value - *d.was_value;
    d.expanded = is_counted_point(point) ? 0.0 : expanded_change(*was, *is, one_bike);
    d.differs = std::fabs(*d.change) > change_rounding;
    // The rate is stamped on the spring. The stamp's accuracy does not tell whether it is the same spring.
    const bool other_stamp = point == Point::spring_rate && !same_stamp(*d.was_value, *d.is_value);
    d.real = d.differs && (other_stamp || std::fabs(*d.change) > *d.expanded);
    return d;
}

std::optional<Measured> measured_at(const SetUp& setup, End end, Point point) {
    const StoredReading* stored = setup.stored(end, point);
    return stored ? std::optional(measured(stored->reading)) : std::nullopt;
}

// The two points of a derived length: first − second.
using Two = std::pair<Point, Point>;
std::optional<Two> parts_of(Derived what) {
    switch (what) {
        case Derived::preload:
            return Two{P::spring_free_length, P::spring_installed_length};
        case Derived::free_sag:
            return Two{P::ride_height_topped_out, P::ride_height_static};
        case Derived::rider_sag:
            return Two{P::ride_height_topped_out, P::ride_height_rider};
        default:
            return std::nullopt;
    }
}

std::optional<Measured> difference_of(const SetUp& setup, End end, Two two) {
    const StoredReading *first = setup.stored(end, two.first), *second = setup.stored(end, two.second);
    // A preload may have been read itself.
    if (const StoredReading* read = setup.stored(end, Point::spring_preload);
        read && two.first == Point::spring_free_length && (!first || !second))
        return measured(read->reading);
    if (!first || !second) return std::nullopt;
    // The free and the installed length of a spring are measured at two places, heights at one mark.
    const bool one_mark = two.first == Point::ride_height_topped_out;
    return difference(first->reading, second->reading, one_mark);
}

// Teeth are counted, so the ratio has no uncertainty.
std::optional<Measured> drive(const SetUp& setup) {
    const auto front = measured_at(setup, End::rear, Point::sprocket_front),
               rear = measured_at(setup, End::rear, Point::sprocket_rear);
    if (!front || !rear || front->value <= 0) return std::nullopt;
    Measured m;
    m.value = rear->value / front->value;
    m.dof = front->dof;
    return m;
}

// dl/dh at the ride height with the rider. With a single leverage ratio it is the same everywhere.
std::optional<double> motion_ratio(End end, const SetUp& setup, const BikeBody& bike) {
    const auto map = map_of(bike, end, {setup.length(end, Point::link_rod), mm(0)});
    if (!map) return std::nullopt;
    if (!is_finite(map->length_range().first)) return 1.0 / map->at(mm(0.0)).value().leverage;
    const auto length = setup.length(end, Point::eye_to_eye),
               top = setup.length(end, Point::ride_height_topped_out),
               rider = setup.length(end, Point::ride_height_rider);
    if (!length || !top || !rider) return std::nullopt;
    const auto anchored = map->anchored(*length, *top);
    if (!anchored) return std::nullopt;
    const auto there = anchored->length_at(*rider);
    if (!there) return std::nullopt;
    const auto point = anchored->at(*there);
    return point ? std::optional(1.0 / point->leverage) : std::nullopt;
}

// The rate of the springs alone at the ride height with the rider: k·i² per leg (rear 1, front 2).
std::optional<Measured> rate_at_wheel(End end, const SetUp& setup, const BikeBody* bike) {
    const auto rate = measured_at(setup, end, Point::spring_rate);
    const auto i = bike ? motion_ratio(end, setup, *bike) : std::nullopt;
    if (!rate || !i) return std::nullopt;
    const double scale = (end == End::rear ? 1 : 2) * *i * *i;
    Measured m = *rate;
    for (double* part : {&m.value, &m.u, &m.spread, &m.common}) *part *= scale;
    return m;
}

// U of the change of a derived value. If one of its two readings was carried over and is identical on both
// sides, only the other one can have changed.
double expanded_change(Derived what, const SetUp& was, const SetUp& is, End end, bool one_bike,
                       const Measured& a, const Measured& b) {
    const auto apart = std::hypot(expanded_95(a), expanded_95(b));
    const auto same = [&](Point p) {
        const StoredReading *x = was.stored(end, p), *y = is.stored(end, p);
        return one_bike && x && y && *x == *y;
    };
    if (what == Derived::spring_rate_at_wheel) return same(Point::spring_rate) ? 0.0 : apart;
    const auto two = parts_of(what);
    if (!two) return 0.0;  // final drive: teeth are counted
    const bool first = same(two->first), second = same(two->second);
    const Point other = first ? two->second : two->first;
    if (!first && !second) return apart;
    if (first && second) return 0.0;
    // One side may know the value in another way, as a preload that was read itself.
    const StoredReading *x = was.stored(end, other), *y = is.stored(end, other);
    return x && y ? expanded_change(*x, *y, one_bike) : apart;
}

Difference derived_difference(End end, Derived what, const std::optional<Measured>& was,
                              const std::optional<Measured>& is) {
    Difference d{end, what, {}, {}, {}, {}, {}, {}, false, false};
    if (was) d.was_value = was->value;
    if (is) d.is_value = is->value;
    d.differs = was.has_value() != is.has_value();
    if (!was || !is) return d;
    d.change = is->value - was->value;
    d.differs = std::fabs(*d.change) > change_rounding;
    return d;
}

}  // namespace

std::string_view key(Derived what) {
    constexpr std::string_view keys[] = {"preload", "free_sag", "rider_sag", "final_drive",
                                         "spring_rate_at_wheel"};
    return keys[static_cast<int>(what)];
}

std::optional<Measured> derived(Derived what, End end, const SetUp& setup, const BikeBody* bike) {
    if (const auto two = parts_of(what)) return difference_of(setup, end, *two);
    if (what == Derived::spring_rate_at_wheel) return rate_at_wheel(end, setup, bike);
    return end == End::rear ? drive(setup) : std::nullopt;
}

Comparison compare(const SetUp& was, const BikeBody* was_bike, const SetUp& is, const BikeBody* is_bike) {
    Comparison all;
    const bool one_bike = was.bike == is.bike;
    const auto sort_in = [&](Difference d) { (d.differs ? all.changed : all.same).push_back(std::move(d)); };
    for (const End end : {End::rear, End::front}) {
        for (const PointFacts& f : all_points()) {
            const Sides sides{was.stored(end, f.point), is.stored(end, f.point)};
            if (sides.first || sides.second) sort_in(point_difference(end, f.point, sides, one_bike));
        }
        for (int i = 0; i <= static_cast<int>(Derived::spring_rate_at_wheel); ++i) {
            const auto what = static_cast<Derived>(i);
            const auto before = derived(what, end, was, was_bike), after = derived(what, end, is, is_bike);
            if (!before && !after) continue;
            Difference d = derived_difference(end, what, before, after);
            if (before && after) {
                d.expanded = expanded_change(what, was, is, end, one_bike, *before, *after);
                d.real = d.differs && std::fabs(*d.change) > *d.expanded;
            }
            sort_in(std::move(d));
        }
    }
    return all;
}

}  // namespace restand
