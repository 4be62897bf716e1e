#include "app/workshop/bike_fields.h"

#include <array>

namespace restand {

namespace {
namespace field_facts {
using enum BikeField;
constexpr double deg = pi / 180.0;
constexpr std::string_view ahead =
    "From the swingarm pivot, level, to the front; the bike static. Minus: behind it.";
constexpr std::string_view above = "From the swingarm pivot, upright; the bike static. Minus: below it.";
constexpr std::string_view along = "From the pivot along the arm; minus: towards the axle.";
constexpr std::string_view across = "Square to the line from pivot to axle; minus: below it.";
constexpr std::string_view either =
    "On the frame level and upright from the pivot; on the arm along it and square to it.";
constexpr std::string_view in_to_out =
    "Teeth of the driven gear over teeth of the driving one: 39 over 15 is 2.6.";
constexpr std::array table = {
    BikeFieldFacts{name, BikeGroup::whole, "name", "name or number", "As the team calls it.", Dimension::text,
                   0, 0, true},
    BikeFieldFacts{note, BikeGroup::whole, "note", "note", "Frame, year, whose it is.", Dimension::text, 0, 0,
                   false},
    BikeFieldFacts{rear_leverage, BikeGroup::whole, "rear_leverage", "leverage ratio, rear",
                   "Rear wheel travel for 1 mm of shock travel. A table measured with a strut is better.",
                   Dimension::ratio, 0.31, 5.9, true},
    BikeFieldFacts{
        front_leverage, BikeGroup::whole, "front_leverage", "ratio, front",
        "Ride height for 1 mm of fork travel: 1 read along the fork. Left out, it is read upright and "
        "follows from the rake.",
        Dimension::ratio, 0.5, 1.5, false},
    BikeFieldFacts{rear_tolerance, BikeGroup::whole, "rear_tolerance", "ride height held within, rear",
                   "A difference smaller than this counts as restored.", Dimension::length, 0.05, 20, false},
    BikeFieldFacts{front_tolerance, BikeGroup::whole, "front_tolerance", "ride height held within, front",
                   "A difference smaller than this counts as restored.", Dimension::length, 0.05, 20, false},
    BikeFieldFacts{rake, BikeGroup::whole, "rake", "rake", "Steering axis from vertical.", Dimension::angle,
                   10 * deg, 45 * deg, false},
    BikeFieldFacts{swingarm, BikeGroup::whole, "swingarm", "swingarm, pivot to axle",
                   "Centre to centre, axle mid slot.", Dimension::length, 200, 1000, false},
    BikeFieldFacts{wheelbase, BikeGroup::whole, "wheelbase", "wheelbase", "Axle to axle, along the ground.",
                   Dimension::length, 800, 2500, false},
    BikeFieldFacts{rear_wheel_radius, BikeGroup::whole, "rear_wheel_radius", "wheel radius, rear",
                   "Axle to ground, as it stands.", Dimension::length, 150, 450, false},
    BikeFieldFacts{front_wheel_radius, BikeGroup::whole, "front_wheel_radius", "wheel radius, front",
                   "Axle to ground, as it stands.", Dimension::length, 150, 450, false},
    BikeFieldFacts{offset, BikeGroup::whole, "offset", "fork offset",
                   "Steering axis to front axle, square to the axis.", Dimension::length, 0, 120, false},
    BikeFieldFacts{pivot_height, BikeGroup::whole, "pivot_height", "pivot height",
                   "Swingarm pivot to ground, static: on its wheels, nobody on it.", Dimension::length, 150,
                   900, false},
    BikeFieldFacts{pair_length, BikeGroup::strut, "pair_length", "strut length",
                   "A strut in place of the shock: its length between the eye centres.", Dimension::length,
                   100, 1000, false},
    BikeFieldFacts{pair_height, BikeGroup::strut, "pair_height", "ride height with that strut",
                   "Axle to the mark, with that strut in.", Dimension::length, 1, 2000, false},
    BikeFieldFacts{
        chain_limit, BikeGroup::whole, "chain_limit", "chain replaced at, %",
        "Elongation over new at which this team replaces the chain; the maker's sheet says the most.",
        Dimension::ratio, 0.05, 10, false},
    BikeFieldFacts{sprocket_x, BikeGroup::chain, "sprocket_x", "front sprocket, ahead of pivot", ahead,
                   Dimension::length, -200, 300, false},
    BikeFieldFacts{sprocket_z, BikeGroup::chain, "sprocket_z", "front sprocket, above pivot", above,
                   Dimension::length, -200, 200, false},
    BikeFieldFacts{slot_length, BikeGroup::chain, "slot_length", "axle slot, length",
                   "How far the axle can go back from the front of its slot.", Dimension::length, 5, 120,
                   false},
    BikeFieldFacts{chain_pitch, BikeGroup::chain, "chain_pitch", "chain pitch",
                   "Pin to pin; 15.875 where not given: 520, 525, 530. A 428 has 12.7.", Dimension::length, 6,
                   26, false},
    BikeFieldFacts{unit_frame_x, BikeGroup::linkage, "unit_frame_x", "shock eye on the frame, ahead", ahead,
                   Dimension::length, -1000, 1000, false},
    BikeFieldFacts{unit_frame_z, BikeGroup::linkage, "unit_frame_z", "shock eye on the frame, above", above,
                   Dimension::length, -1000, 1000, false},
    BikeFieldFacts{unit_arm_x, BikeGroup::linkage, "unit_arm_x", "shock eye on the arm, along", along,
                   Dimension::length, -1000, 1000, false},
    BikeFieldFacts{unit_arm_z, BikeGroup::linkage, "unit_arm_z", "shock eye on the arm, above", across,
                   Dimension::length, -1000, 1000, false},
    BikeFieldFacts{rocker_x, BikeGroup::linkage, "rocker_x", "rocker pivot, ahead or along", either,
                   Dimension::length, -1000, 1000, false},
    BikeFieldFacts{rocker_z, BikeGroup::linkage, "rocker_z", "rocker pivot, above", either, Dimension::length,
                   -1000, 1000, false},
    BikeFieldFacts{rod_end_x, BikeGroup::linkage, "rod_end_x", "rod's other end, ahead or along", either,
                   Dimension::length, -1000, 1000, false},
    BikeFieldFacts{rod_end_z, BikeGroup::linkage, "rod_end_z", "rod's other end, above", either,
                   Dimension::length, -1000, 1000, false},
    BikeFieldFacts{rod, BikeGroup::linkage, "rod", "rod, bolt to bolt", "Between the bolt centres.",
                   Dimension::length, 10, 1000, false},
    BikeFieldFacts{pivot_to_rod, BikeGroup::linkage, "pivot_to_rod", "rocker: pivot to rod bolt",
                   "Between the bolt centres.", Dimension::length, 5, 500, false},
    BikeFieldFacts{pivot_to_unit, BikeGroup::linkage, "pivot_to_unit", "rocker: pivot to shock bolt",
                   "Between the bolt centres.", Dimension::length, 5, 500, false},
    BikeFieldFacts{spread, BikeGroup::linkage, "spread", "rocker: from rod bolt to shock bolt",
                   "The angle about its pivot, positive the way the front would rise.", Dimension::angle, -pi,
                   pi, false},
    BikeFieldFacts{primary, BikeGroup::gearbox, "primary", "primary drive, ratio",
                   "Engine turns for one of the gearbox's input.", Dimension::ratio, 0.5, 5, false},
    BikeFieldFacts{gear_1, BikeGroup::gearbox, "gear_1", "1st gear, ratio", in_to_out, Dimension::ratio, 0.3,
                   6, false},
    BikeFieldFacts{gear_2, BikeGroup::gearbox, "gear_2", "2nd gear, ratio", in_to_out, Dimension::ratio, 0.3,
                   6, false},
    BikeFieldFacts{gear_3, BikeGroup::gearbox, "gear_3", "3rd gear, ratio", in_to_out, Dimension::ratio, 0.3,
                   6, false},
    BikeFieldFacts{gear_4, BikeGroup::gearbox, "gear_4", "4th gear, ratio", in_to_out, Dimension::ratio, 0.3,
                   6, false},
    BikeFieldFacts{gear_5, BikeGroup::gearbox, "gear_5", "5th gear, ratio", in_to_out, Dimension::ratio, 0.3,
                   6, false},
    BikeFieldFacts{gear_6, BikeGroup::gearbox, "gear_6", "6th gear, ratio", in_to_out, Dimension::ratio, 0.3,
                   6, false},
    BikeFieldFacts{rpm, BikeGroup::gearbox, "rpm", "shifted up at, rpm",
                   "Engine speed at which the next gear is taken.", Dimension::count, 1000, 25000, false},
};

static_assert(table.size() == static_cast<std::size_t>(last_bike_field) + 1, "each field has its line");
}  // namespace field_facts

std::optional<double> raw(std::optional<Length> v) {
    return v ? std::optional(v->value) : std::nullopt;
}

// The optional length that stores a geometry field; nullptr for other fields.
std::optional<Length>* length_slot(BikeBody& bike, BikeField field) {
    using enum BikeField;
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
        case slot_length:
            return &bike.mechanism.slot_length;
        case chain_pitch:
            return &bike.mechanism.chain_pitch;
        default:
            return nullptr;
    }
}

// The length that stores a number of the linkage or the sprocket; nullptr while there is none.
Length* point_slot(BikeBody& bike, BikeField field) {
    using enum BikeField;
    Mechanism& m = bike.mechanism;
    if (field == sprocket_x) return m.front_sprocket ? &m.front_sprocket->x : nullptr;
    if (field == sprocket_z) return m.front_sprocket ? &m.front_sprocket->z : nullptr;
    if (!m.linkage) return nullptr;
    Linkage& l = *m.linkage;
    if (field == unit_frame_x) return &l.unit_end.at.x;
    if (field == unit_frame_z) return &l.unit_end.at.z;
    if (field == unit_arm_x) return l.rocker ? nullptr : &l.direct.at.x;
    if (field == unit_arm_z) return l.rocker ? nullptr : &l.direct.at.z;
    if (!l.rocker) return nullptr;
    Rocker& r = *l.rocker;
    switch (field) {
        case rocker_x:
            return &r.pivot.at.x;
        case rocker_z:
            return &r.pivot.at.z;
        case rod_end_x:
            return &r.rod_end.at.x;
        case rod_end_z:
            return &r.rod_end.at.z;
        case rod:
            return &r.rod;
        case pivot_to_rod:
            return &r.pivot_to_rod;
        case pivot_to_unit:
            return &r.pivot_to_unit;
        default:
            return nullptr;
    }
}

std::optional<std::size_t> gear_of(BikeField field) {
    using enum BikeField;
    if (field < gear_1 || field > gear_6) return std::nullopt;
    return static_cast<std::size_t>(field) - static_cast<std::size_t>(gear_1);
}

void set_gear(std::vector<double>& gears, std::size_t gear, double ratio) {
    if (gears.size() <= gear) gears.resize(gear + 1);
    gears[gear] = ratio;
    while (!gears.empty() && gears.back() == 0.0) gears.pop_back();
}
}  // namespace

std::span<const BikeFieldFacts> bike_fields() {
    return field_facts::table;
}

const BikeFieldFacts& facts(BikeField field) {
    for (const auto& f : field_facts::table)
        if (f.field == field) return f;
    check(false, "a bike field without facts");
    return field_facts::table[0];
}

std::optional<double> number(const BikeBody& bike, BikeField field) {
    using enum BikeField;
    if (field == rear_leverage) return bike.rear.leverage;
    if (field == front_leverage) return bike.front.leverage;
    if (field == rear_tolerance) return bike.rear.tolerance.value;
    if (field == front_tolerance) return bike.front.tolerance.value;
    if (field == chain_limit) return bike.chain_limit_percent;
    if (field == primary) return bike.gearbox.primary;
    if (field == rpm) return bike.gearbox.rpm;
    if (const auto gear = gear_of(field)) {
        const auto& gears = bike.gearbox.gears;
        return *gear < gears.size() && gears[*gear] > 0.0 ? std::optional(gears[*gear]) : std::nullopt;
    }
    if (field == rake) return bike.geometry.rake ? std::optional(bike.geometry.rake->value) : std::nullopt;
    if (const auto* slot = length_slot(const_cast<BikeBody&>(bike), field)) return raw(*slot);
    // 0 means 'not typed yet': no bolt lies in the pivot itself.
    if (const Length* at = point_slot(const_cast<BikeBody&>(bike), field); at && at->value != 0.0)
        return at->value;
    const auto& linkage = bike.mechanism.linkage;
    if (field == spread && linkage && linkage->rocker && linkage->rocker->spread.value != 0.0)
        return linkage->rocker->spread.value;
    return std::nullopt;
}

int decimals(BikeField field, Unit unit) {
    using enum BikeField;
    const bool fine = facts(field).dimension == Dimension::ratio || field == chain_pitch;
    return fine ? 3 : usual_decimals(unit);
}

bool belongs(const BikeBody& bike, BikeField field) {
    using enum BikeField;
    if (const auto gear = gear_of(field)) return *gear <= bike.gearbox.gears.size();
    if (facts(field).group != BikeGroup::linkage) return true;
    if (field == spread) return bike.mechanism.linkage && bike.mechanism.linkage->rocker;
    return point_slot(const_cast<BikeBody&>(bike), field) != nullptr;
}

void set_number(BikeBody& bike, BikeField field, std::optional<double> v) {
    using enum BikeField;
    if (field == rear_leverage) bike.rear.leverage = v;
    if (field == front_leverage) bike.front.leverage = v;
    if (field == chain_limit) bike.chain_limit_percent = v;
    if (field == primary) bike.gearbox.primary = v;
    if (field == rpm) bike.gearbox.rpm = v;
    if (const auto gear = gear_of(field)) set_gear(bike.gearbox.gears, *gear, v.value_or(0.0));
    if (field == rear_tolerance && v) bike.rear.tolerance = mm(*v);
    if (field == front_tolerance && v) bike.front.tolerance = mm(*v);
    if (field == rake) bike.geometry.rake = v ? std::optional(radians(*v)) : std::nullopt;
    if (v && (field == sprocket_x || field == sprocket_z) && !bike.mechanism.front_sprocket)
        bike.mechanism.front_sprocket.emplace();
    if (Length* at = point_slot(bike, field)) *at = mm(v.value_or(0.0));
    if (field == spread && bike.mechanism.linkage && bike.mechanism.linkage->rocker)
        bike.mechanism.linkage->rocker->spread = radians(v.value_or(0.0));
    if (auto* slot = length_slot(bike, field)) *slot = v ? std::optional(mm(*v)) : std::nullopt;
}

}  // namespace restand
