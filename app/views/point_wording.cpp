// The words of a point: its label, and how it is measured.

#include "app/views/point_wording.h"

#include <fmt/format.h>

#include <utility>

#include "app/views/season_wording.h"
#include "app/views/wording.h"
#include "core/ledger/map_of.h"

namespace restand::wording {

namespace {
struct PointWords {
    Point point;
    const char* label;
    const char* guide;
};
using P = Point;
constexpr PointWords table[] = {
    {P::ride_height_topped_out, "ride height, topped out",
     "Wheel off the ground. Axle centre to the mark straight above it."},
    {P::ride_height_static, "ride height, static", "On its wheels, no rider. Settle it, let it rise, read."},
    {P::ride_height_rider, "ride height, rider",
     "Rider in kit, in position, somebody holding the bike upright."},
    {P::eye_to_eye, "eye to eye", "Centre of eye to centre of eye, nothing loading it."},
    {P::eye_to_eye_min, "eye to eye, shortest",
     "With the length adjuster wound right in, as the maker allows."},
    {P::eye_to_eye_max, "eye to eye, longest",
     "With the length adjuster wound out to the maker's limit, never past it."},
    {P::length_mm_per_turn, "length, one turn", "Measure ten turns and divide by ten."},
    {P::fork_length, "fork length", "Axle centre to the top of the tube, topped out."},
    {P::fork_position, "fork position", "Top of the tube above the upper yoke. Both legs alike."},
    {P::fork_position_min, "fork position, lowest", "The least the tubes may stand above the yoke."},
    {P::fork_position_max, "fork position, highest", "The most, before the tyre or the fender touches."},
    {P::travel, "travel", "Topped out to fully compressed, without the spring or from the maker's sheet."},
    {P::gas_force, "gas force", "What it takes to push the rod in, spring off. 0 where there is none."},
    {P::spring_rate, "spring rate",
     "What is marked is a hint; what a rate tester reads is better. Mind the unit."},
    {P::spring_free_length, "spring, free", "Loose on the bench, flat end to flat end."},
    {P::spring_installed_length, "spring, installed", "Between its seats, unit topped out."},
    {P::spring_block_length, "spring, coils touching", "Wire diameter times coils, or from the maker."},
    {P::collar_mm_per_turn, "preload adjuster, one turn", "Measure ten turns and divide by ten."},
    {P::clicks_compression_low, "compression, low speed", "Count out from fully closed, light fingers."},
    {P::clicks_compression_high, "compression, high speed", "Count out from fully closed, light fingers."},
    {P::clicks_rebound_low, "rebound, low speed", "Count out from fully closed, light fingers."},
    {P::clicks_rebound_high, "rebound, high speed", "Count out from fully closed, light fingers."},
    {P::chain_slack, "chain slack",
     "Full up and down play of the lower run, mid span, at its tightest place."},
    {P::axle_position, "axle from slot front", "Front of the slot to the axle centre. Both sides alike."},
    {P::sprocket_front, "front sprocket", "Count the teeth."},
    {P::sprocket_rear, "rear sprocket", "Count the teeth."},
    {P::chain_links, "chain links", "Inner and outer links together, the joining link too."},
    {P::tyre_pressure_cold, "tyre pressure, cold", "In the shade, before it has run."},
    {P::tyre_pressure_hot, "tyre pressure, hot", "Off the warmers, before it cools."},
    {P::chain_gauge_length, "chain, pulled tight",
     "Pin centre to pin centre over a counted number of links, chain pulled tight."},
    {P::chain_gauge_links, "links measured", "How many links lie between the two pins."},
    {P::ride_height_lifted, "ride height, after lifting",
     "Lift the end by hand, let it settle, read. No rider."},
    {P::ride_height_pressed, "ride height, after pressing",
     "Press the end down, let it rise, read. No rider."},
    {P::tyre, "tyre", "Size as on the side wall, and which one."},
    {P::part_name, "part", "What the team calls it, or what is stamped on it."},
    {P::rolling_circumference, "rolling circumference",
     "Chalk mark down, roll the bike one turn straight on, mark to mark. Pressure as it is ridden."},
    {P::link_rod, "link rod", "Centre of eye to centre of eye, off the bike."},
    {P::fork_oil_level, "fork oil level",
     "Top of the tube down to the oil: leg pushed together, spring out."},
    {P::fork_bore, "fork tube, inside", "Inside diameter of the tube the oil stands in."},
    {P::spring_preload, "spring, preload",
     "How far the collar presses it, unit topped out. 0: it just touches."},
    {P::fuel, "fuel in the tank",
     "Kilograms; a litre is about 0.75 kg. As it was when the heights were read."},
    {P::rider_mass, "rider in kit", "Kilograms, as the rider sat on the bike."},
    {P::preload_turns, "preload, in turns", "Turns of the collar from where the spring just touches."},
    {P::wheel_weight, "weight on this wheel",
     "Scales under this wheel, the other wheel as high, no rider. In place of fuel and tank."},
    {P::damper_temperature, "damper, how warm", "On its body, when the heights are read."},
    {P::spring_moved, "the old spring goes on it", "1: the spring of the old unit goes on the new one."},
    {P::fitted_mass, "tank, bodywork, ballast",
     "Weigh what is fitted, empty: what comes off before, what goes on as the new part. 0: nothing."},
    {P::fitted_mass_ahead, "its middle, ahead of the axle",
     "From the rear axle forward to about the middle of it, along the ground."},
    {P::unsprung_mass, "what hangs at the axle", "Wheel, brake and half the arm, or the lower legs."},
    {P::top_out_rate, "top-out spring, rate", "Of the spring that catches the unit as it tops out."},
    {P::top_out_reach, "top-out spring, reach", "Over how much travel it pushes. Of the whole unit."},
    {P::helper_rate, "helper, rate", "Of the short spring in line with the main one."},
    {P::helper_free_length, "helper, free", "Loose on the bench, flat end to flat end."},
    {P::helper_block_length, "helper, coils touching", "Pressed together, coil on coil."},
    {P::other_leg_rate, "right spring, rate",
     "Where the two legs differ: of the right leg's spring. Both have the same preload."},
    {P::bump_travel, "bump rubber begins at", "Travel at which the rubber first touches."},
    {P::bump_rate, "bump rubber, rate", "What it takes to press it a millimetre more, at its beginning."},
    {P::rod_diameter, "damper rod, diameter", "Calliper, outside the seal."},
    {P::end_rate, "progressive spring, end rate",
     "The stiffer rate of the two stamped on it; the spring rate is then the softer one."},
    {P::rate_rises_from, "its rate rises from", "How far the spring is pressed when it begins to stiffen."},
    {P::rate_rises_to, "its rate rises to", "How far it is pressed when it has its end rate."},
    {P::gas_volume, "gas volume", "Of the reservoir's gas, topped out; from the maker's sheet."},
};

// Under a heading that names the group.
constexpr std::pair<Point, const char*> short_labels[] = {
    {P::ride_height_topped_out, "topped out"},
    {P::ride_height_static, "static"},
    {P::ride_height_rider, "rider"},
    {P::eye_to_eye_min, "shortest"},
    {P::eye_to_eye_max, "longest"},
    {P::length_mm_per_turn, "one turn"},
    {P::fork_position_min, "lowest"},
    {P::fork_position_max, "highest"},
    {P::spring_rate, "rate"},
    {P::spring_free_length, "free"},
    {P::spring_installed_length, "installed"},
    {P::spring_block_length, "coils touch"},
    {P::spring_preload, "preload"},
    {P::preload_turns, "preload, turns"},
    {P::collar_mm_per_turn, "preload adj., a turn"},
    {P::clicks_compression_low, "comp., low"},
    {P::clicks_compression_high, "comp., high"},
    {P::clicks_rebound_low, "rebound, low"},
    {P::clicks_rebound_high, "rebound, high"},
    {P::axle_position, "axle in slot"},
    {P::sprocket_front, "front teeth"},
    {P::sprocket_rear, "rear teeth"},
    {P::chain_links, "links"},
    {P::rolling_circumference, "one turn rolls"},
    {P::fork_oil_level, "oil level"},
    {P::fork_bore, "tube, inside"},
    {P::fitted_mass, "weight of it"},
    {P::fitted_mass_ahead, "ahead of axle"},
    {P::wheel_weight, "wheel scales"},
    {P::unsprung_mass, "hangs at axle"},
    {P::top_out_rate, "top-out rate"},
    {P::top_out_reach, "top-out reach"},
    {P::helper_block_length, "helper, touch"},
    {P::other_leg_rate, "right, rate"},
    {P::end_rate, "end rate"},
    {P::rate_rises_from, "rises from"},
    {P::rate_rises_to, "rises to"},
    {P::bump_travel, "rubber begins"},
    {P::bump_rate, "rubber, rate"},
    {P::rod_diameter, "rod diameter"},
    {P::tyre_pressure_cold, "tyre, cold"},
    {P::tyre_pressure_hot, "tyre, hot"},
};

const PointWords& words_of(Point point) {
    for (const auto& w : table)
        if (w.point == point) return w;
    check(false, "a point without words");
    return table[0];
}

bool is_click(Point p) {
    return facts(p).dimension == Dimension::clicks;
}
}  // namespace

std::string label(Point point) {
    return words_of(point).label;
}

std::string label(Point point, End end) {
    const std::string name = label(point);
    switch (point) {
        case Point::sprocket_front:
        case Point::sprocket_rear:
        case Point::chain_links:
        case Point::chain_slack:
        case Point::chain_gauge_length:
        case Point::axle_position:
            return name;  // one of each on a bike
        default:
            return wording::end(end) + " " + name;
    }
}

std::string short_label(Point point) {
    for (const auto& [of, text] : short_labels)
        if (of == point) return text;
    return label(point);
}

std::string guide(Point point, End end, const BikeBody& bike) {
    const bool said = bike.front.leverage || bike.how_read.front_heights;
    if (end == End::front && is_ride_height(point) && said)
        return std::string(reads_along_fork(bike) ? "Along the fork leg, axle centre to the mark on it. "
                                                  : "Upright, axle centre to the mark straight above it. ") +
               words_of(point).guide;
    if (point == P::chain_slack && bike.how_read.stand() == Stand::swingarm)
        return "On the stand under the swingarm. Full up and down play of the lower run, mid span, at its "
               "tightest place.";
    if (end == End::front && point == P::gas_force)
        return "Force of the air in both legs, topped out. 0 where there is none.";
    if (end == End::front && point == P::ride_height_topped_out)
        return "Wheel off the ground. Axle centre to the lower yoke, measured the same way every time.";
    if (end == End::front && (point == P::top_out_rate || point == P::bump_rate))
        return std::string(words_of(point).guide) + " Both legs together.";
    if (end == End::front && point == P::spring_rate) return "Of one leg's spring. Mind the unit.";
    return words_of(point).guide;
}

std::string instrument(Point point, const Instrument& with) {
    if (with.resolution <= 0) return with.name;
    const Unit unit = chosen({}, facts(point).dimension);
    const std::string reads = plain(with.resolution, unit, 3);
    return fmt::format("{} · reads {}{}{}", with.name, reads, symbol(unit).empty() ? "" : " ", symbol(unit));
}

std::string settled_anew(Point point) {
    if (!is_settled(point)) return "";
    if (point == P::ride_height_rider) return "seated anew";
    if (point == P::ride_height_topped_out) return "lifted anew";
    return "settled anew";
}

std::string usual_where(Point point) {
    if (point == P::chain_slack) return "on the stand, mid span, tightest place";
    if (is_click(point)) return "out from fully closed, closed is 0";
    return "";
}

}  // namespace restand::wording
