#pragma once
// The content of a bike's entry: its name, how its heights move, what was measured of it, how it is read.

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/ledger/swap.h"
#include "core/machine/chain.h"

namespace restand {

// How the ride height of one end depends on the length of its unit, as far as known.
struct EndSetup {
    std::optional<double> leverage;                     // dh/dl
    std::vector<std::pair<Length, Length>> pairs;       // unit length, ride height; overrides `leverage`
    // Largest ride height error that still counts as restored. A tape read once before and once after cannot
    // resolve 1 mm.
    Length tolerance = mm(2.0);
    friend bool operator==(const EndSetup&, const EndSetup&) = default;
};

// For the drawing and the chassis model (chassis.h). Every value is optional; a bike with few values is drawn
// schematically.
struct Geometry {
    std::optional<Length> swingarm, wheelbase, rear_wheel_radius, front_wheel_radius, offset, pivot_height;
    std::optional<Angle> rake;
    friend bool operator==(const Geometry&, const Geometry&) = default;
};

// The bike's mechanism, measured with the bike standing without a rider. Frame points: from the swingarm
// pivot, x forward, z up. Arm points: along the arm (machine/linkage.h). Every value is optional.
struct Mechanism {
    std::optional<Linkage> linkage;          // overrides strut table and leverage ratio
    std::optional<PlanePoint> front_sprocket;
    std::optional<Length> slot_length;       // of the axle slot: how far the axle can move back
    std::optional<Length> chain_pitch{};     // nullopt: not known
    Length pitch() const { return chain_pitch.value_or(usual_chain_pitch); }
    friend bool operator==(const Mechanism&, const Mechanism&) = default;
};

// The drive of the front sprocket: primary ratio, gear ratios from first to top, and the engine speed at
// which the rider shifts up. Every value is optional; a gear of 0 is not known.
struct Gearbox {
    std::optional<double> primary, rpm;
    std::vector<double> gears;
    friend bool operator==(const Gearbox&, const Gearbox&) = default;
};

// How this team reads this bike. nullopt: not said; then square, and hanging.
enum class FrontHeights { square, along_fork };  // square to the ground, or along the fork
enum class Stand { hanging, swingarm };          // the rear wheel hangs free, or the stand lifts the swingarm
std::string_view key(FrontHeights front_heights);
std::string_view key(Stand stand);
struct HowRead {
    std::optional<FrontHeights> front_heights{};
    std::optional<Stand> slack_stand{};          // on which the chain slack is read
    Stand stand() const { return slack_stand.value_or(Stand::hanging); }
    friend bool operator==(const HowRead&, const HowRead&) = default;
};

struct BikeBody {
    std::string name;          // "No. 27"
    std::string note;
    EndSetup rear, front;
    Geometry geometry;
    Mechanism mechanism{};
    Gearbox gearbox{};
    std::optional<double> chain_limit_percent{}; // elongation at which the chain is replaced
    bool archived = false;
    HowRead how_read{};
    const EndSetup& setup(End end) const { return end == End::rear ? rear : front; }
    friend bool operator==(const BikeBody&, const BikeBody&) = default;
};

}  // namespace restand
