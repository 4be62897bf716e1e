#pragma once
// The content of an entry, by kind. One struct per kind; codec/body_json.cpp writes and reads the JSON.
// Units in the JSON: lengths mm, rates N/mm, forces N, angles deg; the keys carry the unit as suffix.
// Readings keep the text as typed.

#include <optional>
#include <string>
#include <type_traits>
#include <utility>
#include <variant>
#include <vector>

#include "core/ledger/swap.h"
#include "core/machine/chain.h"

namespace restand {

struct PersonBody {
    std::string name;
    friend bool operator==(const PersonBody&, const PersonBody&) = default;
};
struct UnitsBody { UnitChoice units; friend bool operator==(const UnitsBody&, const UnitsBody&) = default; };

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

struct SwapBody {
    std::vector<SwapPart> parts;
    friend bool operator==(const SwapBody&, const SwapBody&) = default;
};
// about = swap
struct StepBody { Step6 step; friend bool operator==(const StepBody&, const StepBody&) = default; };
struct SwapEndBody { bool kept; friend bool operator==(const SwapEndBody&, const SwapEndBody&) = default; };

struct ReadingBody {           // about = swap
    Phase phase;
    Reading reading;
    bool confirmed = false;
    std::optional<End> end{};  // nullopt: the end of the swap's first part
    friend bool operator==(const ReadingBody&, const ReadingBody&) = default;
};
ReadAt read_at(const ReadingBody& body, const std::vector<SwapPart>& parts);
// The body to write. `end` is set only if it is not the end of the swap's first part.
ReadingBody read_in(const Swap& swap, const ReadAt& at, Reading reading, bool confirmed = false);

struct BaselineValue {
    End end;
    StoredReading stored;
    friend bool operator==(const BaselineValue&, const BaselineValue&) = default;
};
struct BaselineBody {          // about = swap; nil: entered by hand
    std::string reason;
    Id based_on{};                       // the baseline before this one; nil: it is the bike's first
    std::vector<BaselineValue> values{};   // of the whole bike; untouched ones are carried over
    friend bool operator==(const BaselineBody&, const BaselineBody&) = default;
};

// Takes back what it supersedes and puts nothing in its place.
struct RetractionBody {
    std::string why;
    friend bool operator==(const RetractionBody&, const RetractionBody&) = default;
};

// The new value of a point at one end of the bike.
struct SetValue {
    End end = End::rear;
    Reading reading;
    friend bool operator==(const SetValue&, const SetValue&) = default;
};
// Settings changed outside a swap, between two sessions.
struct ChangeBody {
    std::string note;
    std::vector<SetValue> values;
    friend bool operator==(const ChangeBody&, const ChangeBody&) = default;
};

// An event of the bike, such as a session: words to search by, and the use that wears its parts.
struct EventBody {
    std::string day;                     // "2026-03-14"
    std::string circuit, session, weather, tyre, words;
    std::optional<double> distance_km, running_h;
    std::optional<double> air_c, track_c;  // °C
    friend bool operator==(const EventBody&, const EventBody&) = default;
};

// A part with a service limit. Its first entry gives it its id. Later entries name the id in `about` and
// supersede the entry before; 'serviced' is a new entry with the use reset. Use grows with the bike's events
// since the entry.
struct PartBody {
    std::string name;
    std::optional<double> limit_km, limit_h;
    double used_km = 0, used_h = 0;      // when this entry was made
    bool gone = false;                   // no longer on the bike
    friend bool operator==(const PartBody&, const PartBody&) = default;
};

// A measured part on the team's shelf, with the readings that a swap asks of a new part; of no bike. Its
// first entry gives it its id. Later entries name the id in `about` and supersede the entry before.
struct ShelfBody {
    SwapPart part = SwapPart::shock;     // its kind in a swap
    std::string name;
    std::vector<Reading> values;
    bool gone = false;                   // sold, worn out, lost
    friend bool operator==(const ShelfBody&, const ShelfBody&) = default;
};
// A swap took a new part from the shelf. about = swap
struct PickBody { Id item; friend bool operator==(const PickBody&, const PickBody&) = default; };

// A restore plan to an earlier entry was started. Its steps and its end name it in `about`. A step holds the
// values that it set.
struct PlanBody { Id target; friend bool operator==(const PlanBody&, const PlanBody&) = default; };
struct PlanStepBody {
    std::string action;                  // key of the action (restore_plan.h)
    std::vector<SetValue> values;
    friend bool operator==(const PlanStepBody&, const PlanStepBody&) = default;
};
struct PlanEndBody {
    bool reached;
    friend bool operator==(const PlanEndBody&, const PlanEndBody&) = default;
};

// Readings from before the ledger, imported from a table. They never change the bike's set-up.
struct RecordBody {
    std::string day;                     // "2025-09-02"
    std::string source;                  // name of the table
    std::vector<SetValue> values;
    friend bool operator==(const RecordBody&, const RecordBody&) = default;
};

// The name of a device; `about` nil. Written at install and at every restore; a rename supersedes it.
struct DeviceBody {
    std::string name;
    std::string incarnation;             // 16 hex digits: Entry::device
    std::string follows;                 // the incarnation before a restore; empty: none; itself: at rest
    friend bool operator==(const DeviceBody&, const DeviceBody&) = default;
};

using AnyBody = std::variant<PersonBody, UnitsBody, BikeBody, SwapBody, StepBody, SwapEndBody, ReadingBody,
                             BaselineBody, RetractionBody, ChangeBody, EventBody, PartBody, PlanBody,
                             PlanStepBody, PlanEndBody, RecordBody, DeviceBody, ShelfBody, PickBody>;

// The content of an entry. A separate class, so that copy and move are compiled once (body.cpp).
class Body : public AnyBody {
public:
    template <class One>
        requires(!std::is_base_of_v<AnyBody, std::remove_cvref_t<One>>)
    Body(One&& one) : AnyBody(std::forward<One>(one)) {}
    Body();
    Body(const Body&);
    Body(Body&&) noexcept;
    Body& operator=(const Body&);
    Body& operator=(Body&&) noexcept;
    ~Body();
};
std::string_view kind_of(
    const Body& body);  // "person", "units", "bike", "swap", "step", "swap_end", "reading", …
bool is_kind(std::string_view kind);   // true if this version knows it

}  // namespace restand
