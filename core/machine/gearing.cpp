#include "core/machine/gearing.h"

#include <algorithm>
#include <cmath>

#include "core/quantity/conversions.h"

namespace restand {
namespace {

// Distance of the axle outside the slot (0 inside), and distance from the middle; mm.
struct SlotMiss {
    double outside, from_middle;
    auto operator<=>(const SlotMiss&) const = default;
};
SlotMiss slot_miss(const AxleSlot& slot, Length axle) {
    const double outside = std::max({(slot.min - axle).value, (axle - slot.max).value, 0.0});
    return {outside, std::fabs((axle - 0.5 * (slot.min + slot.max)).value)};
}

std::optional<GearOption> best_gear_option(const GearQuestion& q, Sprockets sprockets) {
    const Angle tight = tightest_droop(q.run, q.low, q.high);
    const int step = q.odd_links ? 1 : 2;
    // Try the link count for the present axle position and its neighbours: the slot is usually shorter than
    // one pitch.
    const ChainRun here = refitted(q.run, sprockets, q.run.links);
    const auto need = needed_length(here, centre_distance(here, q.arm, tight));
    if (!need) return std::nullopt;
    const int about = static_cast<int>(std::lround(*need / (q.run.length / double(q.run.links))));
    std::optional<GearOption> best;
    SlotMiss best_miss{};
    for (int links = about - about % step - 2; links <= about + 3; links += step) {
        const auto arm = arm_for(refitted(q.run, sprockets, links), tight, q.slack_at_tight_spot);
        if (!arm) continue;
        const Length moved = *arm - q.arm, axle = q.slot.now + moved;
        const SlotMiss miss = slot_miss(q.slot, axle);
        if (best && best_miss <= miss) continue;
        best_miss = miss;
        best = GearOption{sprockets,
                          links,
                          sprockets.ratio(),
                          axle,
                          miss.outside == 0.0,
                          q.effect.wheelbase * moved,
                          q.effect.ride_height * moved,
                          degrees(q.effect.arm_to_ground_deg * moved.value)};
    }
    return best;
}

}  // namespace

std::vector<GearOption> gear_options(const GearQuestion& q, std::span<const int> front,
                                     std::span<const int> rear) {
    std::vector<GearOption> all;
    for (const int z1 : front)
        for (const int z2 : rear)
            if (auto one = best_gear_option(q, {z1, z2})) all.push_back(*one);
    // Relative difference to the wanted ratio, in steps of 0.001: smaller differences count as equal.
    const auto far = [&](const GearOption& o) {
        return std::round(1000.0 * std::fabs(o.ratio / q.ratio - 1.0));
    };
    std::stable_sort(all.begin(), all.end(), [&](const GearOption& a, const GearOption& b) {
        if (a.fits != b.fits) return a.fits;
        if (far(a) != far(b)) return far(a) < far(b);
        return slot_miss(q.slot, a.axle) < slot_miss(q.slot, b.axle);
    });
    return all;
}

bool sensible_ratio(double ratio) {
    return ratio >= 0.05 && ratio <= 20.0;
}

std::vector<double> gears_in_order(std::span<const double> gears) {
    std::vector<double> out;
    for (const double ratio : gears) {
        if (!sensible_ratio(ratio) || out.size() == most_gears || (!out.empty() && ratio >= out.back()))
            break;
        out.push_back(ratio);
    }
    return out;
}

namespace {
// km/h for one rpm.
double per_rpm(const Drive& d, std::size_t gear) {
    const double wheel_turns = 60.0 / (d.primary * d.gears.at(gear) * d.sprockets.ratio());
    return wheel_turns * 2.0 * pi * d.rear_radius.value * 1e-6;
}
}  // namespace

double speed_kmh(const Drive& drive, std::size_t gear, double rpm) {
    return rpm * per_rpm(drive, gear);
}

double rpm_at(const Drive& drive, std::size_t gear, double kmh) {
    return kmh / per_rpm(drive, gear);
}

std::vector<GearSpeed> gear_speeds(const Drive& drive, double rpm) {
    std::vector<GearSpeed> out;
    for (std::size_t i = 0; i < drive.gears.size(); ++i) {
        const double kmh = speed_kmh(drive, i, rpm);
        out.push_back({drive.primary * drive.gears[i] * drive.sprockets.ratio(), kmh, {}});
        if (i + 1 < drive.gears.size()) out.back().rpm_after = rpm_at(drive, i + 1, kmh);
    }
    return out;
}

}  // namespace restand
