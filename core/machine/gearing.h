#pragma once
// Sprockets: which pairs in stock come near a wanted ratio, how many links, where does the axle go, and what
// does that do to the bike? And how fast is it in each gear?

#include <optional>
#include <span>
#include <vector>

#include "core/machine/chain.h"

namespace restand {

// The axle in its slot, mm from the front of it.
struct AxleSlot {
    Length now, min, max;
};

// What one mm of axle position does, rider on (or at a fixed pose where the masses are not known).
struct ArmEffect {
    double wheelbase = 0, ride_height = 0;
    double arm_to_ground_deg = 0;
};

struct GearOption {
    Sprockets sprockets;
    int links = 0;
    double ratio = 0;
    Length axle;                    // position in the slot
    bool fits = false;              // inside the window
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
// One option for each pair: the even link count that lies in the window nearest to its middle, else the one
// nearest to the window. Sorted: those that fit first, by closeness to the wanted ratio, then to the middle.
std::vector<GearOption> gear_options(const GearQuestion& question, std::span<const int> front,
                                     std::span<const int> rear);

struct Drive {
    double primary = 1.0;
    std::vector<double> gears;  // first to top
    Sprockets sprockets;
    Length rear_radius;  // rolling
};
inline constexpr std::size_t most_gears = 8;
bool sensible_ratio(double ratio);  // of a pair of gears: 0.05 to 20
// As far as they are sensible and fall: of a gear above one that is missing nobody knows which it is.
std::vector<double> gears_in_order(std::span<const double> gears);

double speed_kmh(const Drive& drive, std::size_t gear, double rpm);
double rpm_at(const Drive& drive, std::size_t gear, double kmh);

// Road speed in a gear at one engine speed, and where the engine is when the next gear is taken there.
struct GearSpeed {
    double ratio = 0;                 // engine turns for one of the wheel
    double kmh = 0;
    std::optional<double> rpm_after;  // shifted up at this speed; nullopt: the top gear
};
std::vector<GearSpeed> gear_speeds(const Drive& drive, double rpm);  // first to top

}  // namespace restand
