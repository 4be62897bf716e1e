// What the team wrote down between the swaps: sessions, changes in the pit box, parts with service limits.
// Circuits, weather and words are invented.

#include "demo/season_rows.h"

namespace restand::demo {
namespace {

using enum Point;

PitChange rear(Point point, const char* text, const char* where = "") {
    return {End::rear, {point, text, where}};
}
PitChange front(Point point, const char* text, const char* where = "") {
    return {End::front, {point, text, where}};
}

using PitChanges = std::vector<PitChange>;
PitChanges operator+(PitChanges a, const PitChanges& b) {
    a.insert(a.end(), b.begin(), b.end());
    return a;
}

// Measured for wear; and with what follows tightened again.
PitChanges worn(const char* length) {
    return {rear(chain_gauge_links, "20", pulled_tight), rear(chain_gauge_length, length, pulled_tight)};
}
PitChanges chain(const char* length, const char* slack = "34") {
    return worn(length) + PitChanges{rear(chain_slack, slack, on_the_stand)};
}
// Off the warmers or straight after the session, and cold in the shade.
PitChanges tyres(const char* rear_cold, const char* rear_hot, const char* front_cold, const char* front_hot) {
    return {rear(tyre_pressure_cold, rear_cold), rear(tyre_pressure_hot, rear_hot),
            front(tyre_pressure_cold, front_cold), front(tyre_pressure_hot, front_hot)};
}
}  // namespace

const std::vector<TrackDay>& track_days() {
    static const std::vector<TrackDay> all = {
        {{3, 21, 15},
         0,
         0,
         "Kesselau",
         "test, afternoon",
         "dry, wind from the left",
         "medium",
         "Lazy into the long right, fine out of it.",
         96,
         1.1,
         21,
         chain("317.8")},
        {{3, 28, 12},
         1,
         1,
         "Kesselau",
         "test, morning",
         "cold, damp patches",
         "medium",
         "No confidence before the tyre is warm.",
         74,
         0.9,
         12,
         {}},
        {{4, 4, 16},
         0,
         0,
         "Port Ablen",
         "qualifying 1",
         "dry",
         "medium",
         "Pushes wide on the brakes.",
         62,
         0.7,
         27,
         {front(clicks_compression_low, "11", counted)}},
        {{4, 5, 10},
         0,
         0,
         "Port Ablen",
         "race 1",
         "dry",
         "medium",
         "Better. Rear slides when it is spent.",
         71,
         0.8,
         31,
         {rear(clicks_rebound_low, "11", counted), rear(tyre_pressure_cold, "1.9"),
          rear(tyre_pressure_hot, "2.15")}},
        {{4, 19, 15},
         0,
         2,
         "Kesselau",
         "race 2",
         "dry, hot",
         "soft",
         "Long right is quick now.",
         78,
         0.9,
         34,
         chain("318.1")},
        {{5, 3, 11},
         1,
         1,
         "Kesselau",
         "race 1",
         "dry",
         "medium",
         "",
         78,
         0.9,
         25,
         chain("318.0", "38") +
             PitChanges{front(clicks_rebound_low, "10", counted), rear(tyre_pressure_cold, "1.75")}},
        {{5, 16, 14},
         0,
         2,
         "Port Ablen",
         "race 2",
         "dry",
         "soft",
         "Stops straight, at last.",
         71,
         0.8,
         33,
         chain("318.3")},
        {{6, 1, 10},
         0,
         0,
         "Marrowfield",
         "test",
         "dry",
         "medium",
         "Shock B is quieter over the seam.",
         104,
         1.2,
         24,
         {rear(clicks_compression_low, "11", counted)}},
        {{6, 7, 15},
         1,
         1,
         "Port Ablen",
         "race 2",
         "dry",
         "soft",
         "Sat down again after eight laps.",
         71,
         0.8,
         30,
         {rear(tyre_pressure_cold, "1.7"), rear(clicks_rebound_low, "9", counted)}},
        {{6, 21, 12},
         0,
         0,
         "Gullmere",
         "race 1",
         "rain",
         "rain",
         "Could lean on it all afternoon.",
         58,
         0.9,
         14,
         chain("318.6") +
             PitChanges{rear(tyre_pressure_cold, "30 psi"), rear(tyre_pressure_hot, "32.5 psi")}},
        {{7, 19, 11},
         1,
         1,
         "Marrowfield",
         "race 1",
         "dry",
         "soft",
         "Spare legs feel the same. Good.",
         80,
         0.9,
         28,
         tyres("1.8", "2.1", "2.2", "2.45")},
        {{7, 25, 14},
         0,
         2,
         "Tarnmoor",
         "test",
         "dry",
         "medium",
         "Chicane still hits the stop.",
         112,
         1.3,
         26,
         chain("318.9")},
        {{8, 9, 15},
         0,
         0,
         "Lowen Heath",
         "race 2",
         "hot",
         "medium",
         "Quick left flat for six laps.",
         84,
         0.9,
         39,
         {front(clicks_compression_low, "12", counted)}},
        {{8, 23, 13},
         1,
         1,
         "Lowen Heath",
         "race 2",
         "dry",
         "medium",
         "Kind to its tyre to the end.",
         84,
         0.9,
         33,
         {}},
        {{9, 6, 14},
         0,
         2,
         "Tarnmoor",
         "race 1",
         "dry",
         "medium",
         "No bottoming. That is the one.",
         76,
         0.9,
         22,
         worn("317.5") + tyres("1.9", "2.2", "2.3", "2.55")},
    };
    return all;
}

const std::vector<WatchedPart>& watched_parts() {
    static const std::vector<WatchedPart> all = {
        {0, {"engine oil", 800.0, std::nullopt}},          {0, {"chain", 1500.0, std::nullopt}},
        {0, {"shock, seals and oil", std::nullopt, 12.0}}, {0, {"front pads", 900.0, std::nullopt}},
        {1, {"engine oil", 800.0, std::nullopt}},          {1, {"clutch plates", 1200.0, std::nullopt}},
    };
    return all;
}

}  // namespace restand::demo
