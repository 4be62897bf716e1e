#pragma once
// Gearing: which sprocket pairs in stock come near a wanted ratio, with which link count and axle position,
// and how that changes the bike. Also the road speed in each gear.

#include <optional>
#include <span>
#include <vector>

#include "core/machine/chain.h"

namespace restand {

// Axle position in its slot, measured from the front of the slot.
struct AxleSlot {
    Length now, min, max;
};

// Change per mm of axle position (mm, mm, deg), rider on; at a fixed pose if the masses are not known.
struct ArmEffect {
    double wheelbase = 0, ride_height = 0;
    double arm_to_ground_deg = 0;
};

struct GearOption {
    Sprockets sprockets;
    int links = 0;
    double ratio = 0;
    Length axle;                    // position in the slot
    bool fits = false;              // axle inside the slot's min..max
    Length wheelbase, ride_height;  // changes, rider on
    Angle arm_to_ground;            // change
};
struct GearQuestion {
    ChainRun run;  // as now, calibrated
    Length arm;    // as now
    AxleSlot slot;
    Angle low, high;             // the arm's travel
    Length slack_at_tight_spot;  // wanted
    double ratio = 0;            // wanted
    bool odd_links = false;      // a cranked link is accepted
    ArmEffect effect;
};
// One option per sprocket pair. The link count is even, or any if `odd_links`. It puts the axle inside the
// slot, nearest to the middle; if none does, nearest to the slot. Sorted: options that fit first, then by
// closeness to the wanted ratio, then to the middle of the slot.
std::vector<GearOption> gear_options(const GearQuestion& question, std::span<const int> front,
                                     std::span<const int> rear);

struct Drive {
    double primary = 1.0;
    std::vector<double> gears;  // first to top
    Sprockets sprockets;
    Length rear_radius;  // rolling
};
inline constexpr std::size_t most_gears = 8;
bool sensible_ratio(double ratio);  // for one pair of gears: 0.05 to 20
// The leading ratios that are sensible and strictly falling, at most `most_gears`. Stops at the first that is
// not: a gear after a missing one cannot be numbered.
std::vector<double> gears_in_order(std::span<const double> gears);

double speed_kmh(const Drive& drive, std::size_t gear, double rpm);
double rpm_at(const Drive& drive, std::size_t gear, double kmh);

// Road speed in a gear at one engine speed, and the engine speed after shifting up at that road speed.
struct GearSpeed {
    double ratio = 0;                 // engine turns per wheel turn
    double kmh = 0;
    std::optional<double> rpm_after;  // after shifting up; nullopt: top gear
};
std::vector<GearSpeed> gear_speeds(const Drive& drive, double rpm);  // first to top

}  // namespace restand
