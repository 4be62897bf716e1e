#include "app/bike_fields.h"

#include <array>

namespace restand {

namespace {
using enum BikeField;
constexpr double deg = pi / 180.0;
constexpr std::array table = {
    BikeFieldFacts{name, "name", "name or number", "As the team calls it.", Dimension::text, 0, 0, true},
    BikeFieldFacts{note, "note", "note", "Frame, year, whose it is.", Dimension::text, 0, 0, false},
    BikeFieldFacts{rear_leverage, "rear_leverage", "leverage ratio, rear",
                   "Rear wheel travel for 1 mm of shock travel. A table measured with a strut is better.",
                   Dimension::ratio, 0.31, 5.9, true},
    BikeFieldFacts{
        front_leverage, "front_leverage", "ratio, front",
        "Ride height for 1 mm of fork travel: 1 read along the fork. Left out, it is read upright and "
        "follows from the rake.",
        Dimension::ratio, 0.5, 1.5, false},
    BikeFieldFacts{rear_tolerance, "rear_tolerance", "ride height held within, rear",
                   "A difference smaller than this counts as restored.", Dimension::length, 0.05, 20, false},
    BikeFieldFacts{front_tolerance, "front_tolerance", "ride height held within, front",
                   "A difference smaller than this counts as restored.", Dimension::length, 0.05, 20, false},
    BikeFieldFacts{rake, "rake", "rake", "Steering axis from vertical.", Dimension::angle, 10 * deg, 45 * deg,
                   false},
    BikeFieldFacts{swingarm, "swingarm", "swingarm, pivot to axle", "Centre to centre, axle mid slot.",
                   Dimension::length, 200, 1000, false},
    BikeFieldFacts{wheelbase, "wheelbase", "wheelbase", "Axle to axle, along the ground.", Dimension::length,
                   800, 2500, false},
    BikeFieldFacts{rear_wheel_radius, "rear_wheel_radius", "wheel radius, rear",
                   "Axle to ground, as it stands.", Dimension::length, 150, 450, false},
    BikeFieldFacts{front_wheel_radius, "front_wheel_radius", "wheel radius, front",
                   "Axle to ground, as it stands.", Dimension::length, 150, 450, false},
    BikeFieldFacts{offset, "offset", "fork offset", "Steering axis to front axle, square to the axis.",
                   Dimension::length, 0, 120, false},
    BikeFieldFacts{pivot_height, "pivot_height", "pivot height", "Swingarm pivot to ground, topped out.",
                   Dimension::length, 150, 900, false},
    BikeFieldFacts{pair_length, "pair_length", "strut length",
                   "A strut in place of the shock: its length between the eye centres.", Dimension::length,
                   100, 1000, false},
    BikeFieldFacts{pair_height, "pair_height", "ride height with that strut",
                   "Axle to the mark, with that strut in.", Dimension::length, 1, 2000, false},
    BikeFieldFacts{chain_limit, "chain_limit", "chain replaced at, %",
                   "Elongation over new at which this team replaces the chain; the maker's sheet says the most.",
                   Dimension::ratio, 0.05, 10, false},
};

std::optional<double> raw(std::optional<Length> v) {
    return v ? std::optional(v->value) : std::nullopt;
}

// The optional length behind a geometry field; nullptr for the others.
std::optional<Length>* length_slot(BikeBody& bike, BikeField field) {
    Geometry& g = bike.geometry;
    switch (field) {
        case swingarm:
            return &g.swingarm;
        case wheelbase:
            return &g.wheelbase;
        case rear_wheel_radius:
            return &g.rear_wheel_radius;
        case front_wheel_radius:
            return &g.front_wheel_radius;
        case offset:
            return &g.offset;
        case pivot_height:
            return &g.pivot_height;
        default:
            return nullptr;
    }
}
}  // namespace

std::span<const BikeFieldFacts> bike_fields() {
    return table;
}

const BikeFieldFacts& facts(BikeField field) {
    for (const auto& f : table)
        if (f.field == field) return f;
    check(false, "a bike field without facts");
    return table[0];
}

std::optional<double> number(const BikeBody& bike, BikeField field) {
    if (field == rear_leverage) return bike.rear.leverage;
    if (field == front_leverage) return bike.front.leverage;
    if (field == rear_tolerance) return bike.rear.tolerance.value;
    if (field == front_tolerance) return bike.front.tolerance.value;
    if (field == chain_limit) return bike.chain_limit_percent;
    if (field == rake) return bike.geometry.rake ? std::optional(bike.geometry.rake->value) : std::nullopt;
    if (const auto* slot = length_slot(const_cast<BikeBody&>(bike), field)) return raw(*slot);
    return std::nullopt;
}

void set_number(BikeBody& bike, BikeField field, std::optional<double> v) {
    if (field == rear_leverage) bike.rear.leverage = v;
    if (field == front_leverage) bike.front.leverage = v;
    if (field == chain_limit) bike.chain_limit_percent = v;
    if (field == rear_tolerance && v) bike.rear.tolerance = mm(*v);
    if (field == front_tolerance && v) bike.front.tolerance = mm(*v);
    if (field == rake) bike.geometry.rake = v ? std::optional(radians(*v)) : std::nullopt;
    if (auto* slot = length_slot(bike, field)) *slot = v ? std::optional(mm(*v)) : std::nullopt;
}

}  // namespace restand
