#pragma once
// What an entry says, by kind. One struct a kind; the JSON of each is in exchange/body_json.cpp.
// Lengths mm, rates N/mm, forces N, angles deg in the JSON (unit-suffixed keys); readings keep the text as
// typed.

#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "core/ledger/swap.h"

namespace restand {

struct PersonBody {
    std::string name;
    friend bool operator==(const PersonBody&, const PersonBody&) = default;
};
struct UnitsBody { UnitChoice units; friend bool operator==(const UnitsBody&, const UnitsBody&) = default; };

// How the height of one end follows its unit's length, as well as it is known.
struct EndSetup {
    std::optional<double> leverage;                     // dh/dl
    std::vector<std::pair<Length, Length>> pairs;       // unit length, ride height; wins over `leverage`
    // Ride height that still counts as restored. A tape read once before and once after cannot tell 1 mm.
    Length tolerance = mm(2.0);
    friend bool operator==(const EndSetup&, const EndSetup&) = default;
};

// For the drawing (and for later work); every part optional: with little known it is drawn schematically.
struct Geometry {
    std::optional<Length> swingarm, wheelbase, rear_wheel_radius, front_wheel_radius, offset, pivot_height;
    std::optional<Angle> rake;
    friend bool operator==(const Geometry&, const Geometry&) = default;
};

struct BikeBody {
    std::string name;          // "No. 27"
    std::string note;
    EndSetup rear, front;
    Geometry geometry;
    bool archived = false;
    const EndSetup& setup(End end) const { return end == End::rear ? rear : front; }
    friend bool operator==(const BikeBody&, const BikeBody&) = default;
};

struct SwapBody { SwapKind kind; friend bool operator==(const SwapBody&, const SwapBody&) = default; };
// about = swap
struct StepBody { Step6 step; friend bool operator==(const StepBody&, const StepBody&) = default; };
struct SwapEndBody { bool kept; friend bool operator==(const SwapEndBody&, const SwapEndBody&) = default; };

struct ReadingBody {           // about = swap
    Phase phase;
    Reading reading;
    bool confirmed = false;
    friend bool operator==(const ReadingBody&, const ReadingBody&) = default;
};

struct BaselineValue {
    End end;
    Take take;
    friend bool operator==(const BaselineValue&, const BaselineValue&) = default;
};
struct BaselineBody {          // about = swap, nil for one entered by hand
    std::string reason;
    std::vector<BaselineValue> values;   // of the whole bike; what a swap did not touch is carried over
    friend bool operator==(const BaselineBody&, const BaselineBody&) = default;
};

// Takes back what it supersedes and puts nothing in its place.
struct RetractionBody {
    std::string why;
    friend bool operator==(const RetractionBody&, const RetractionBody&) = default;
};

using Body = std::variant<PersonBody, UnitsBody, BikeBody, SwapBody, StepBody, SwapEndBody, ReadingBody,
                          BaselineBody, RetractionBody>;
std::string_view kind_of(
    const Body& body);  // "person", "units", "bike", "swap", "step", "swap_end", "reading", …

}  // namespace restand
