#pragma once
// What happened in the season, as data: the bikes as they came, and the swaps in the order of their days.

#include <string>
#include <vector>

#include "core/ledger/body.h"

namespace restand::demo {

// What somebody types for a point, and what they note beside it.
struct Line {
    Point point;
    const char* text;
    const char* where = "";
};

// One end as it came, and what stands on it. Loads: vertical, at the wheel, of what its spring carries, with
// the fuel and the rider of BikeAsFound.
struct EndAsFound {
    Force still, rider;
    Length topped_out;  // ride height with the parts below
    std::vector<Line> parts;
};

struct BikeAsFound {
    BikeBody body;
    PlanePoint front_sprocket;        // whether or not the team has measured it
    bool gauge;                       // heights with the team's height gauge; otherwise with a tape
    const char *fuel_kg, *rider_kg;
    EndAsFound rear, front;
};

struct Day {
    unsigned month, day, hour;
};  // of 2026, UTC

enum class Until { before_half_read, answer, kept };

struct SwapDay {
    Day day;
    int bike;                      // index into bikes()
    std::vector<SwapPart> swapped; // of one end
    int by;                        // index into people()
    const char* fuel_kg;
    const char* reason;            // of the baseline
    std::vector<Line> before;      // what has changed on this end since it was last read
    std::vector<Line> part;        // what came in, on the bench
    std::vector<Line> set;         // what was set beside the answer
    Until until = Until::kept;
    Length slipped = mm(0.0);      // the collar came back by this much before the first check
    const char* filled_kg = nullptr; // fuel at the check, thought of only when the heights were not back
};

// A session on a circuit, and what was read and changed in the pit box after it. Chain slack is what it was
// set to: the axle goes where that comes out.
struct PitChange { End end; Line line; };
struct TrackDay {
    Day day;
    int bike, by;
    const char *circuit, *session, *weather, *tyre, *words;
    double distance_km, running_h, track_c;
    std::vector<PitChange> changes;
};
// A part on the shelf, with what was measured of it.
struct ShelfPart { SwapPart part; const char* name; std::vector<Line> lines; };
struct WatchedPart { int bike; PartBody body; };
struct PlannedJob { int bike; JobBody body; std::vector<int> after; };   // after: rows that come first

inline constexpr Day opening_day = {3, 7, 9};

const std::vector<const char*>& people();
const std::vector<BikeAsFound>& bikes();
const std::vector<BikeBody>& archived_bikes();
const std::vector<SwapDay>& swap_days();
const std::vector<TrackDay>& track_days();
const std::vector<WatchedPart>& watched_parts();
const std::vector<ShelfPart>& shelf_parts();
const std::vector<PlannedJob>& planned_jobs();

}  // namespace restand::demo
