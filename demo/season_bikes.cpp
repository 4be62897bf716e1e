// Lanternhill Racing, season 2026: its people, and its bikes as they came. All of it is invented; the numbers
// are of a kind that occurs on road-based bikes of 600 to 1000 cc (judgement, no source).

#include "demo/season_rows.h"

namespace restand::demo {
namespace {

using enum Point;

// No. 27's strut table: unit length against ride height, a progressive linkage.
std::vector<std::pair<Length, Length>> strut_table() {
    std::vector<std::pair<Length, Length>> pairs;
    constexpr double lengths[] = {251, 258, 265, 272, 279, 286, 293, 300, 307, 314};
    constexpr double heights[] = {374.5, 387.7, 401.0, 414.4, 428.0, 441.8, 455.7, 469.8, 484.1, 498.6};
    for (std::size_t i = 0; i < std::size(lengths); ++i) pairs.emplace_back(mm(lengths[i]), mm(heights[i]));
    return pairs;
}

// The gauge tells how long the chain has become. The axle is set for the slack.
std::vector<Line> chain(const char* front, const char* rear, const char* links, const char* axle,
                        const char* slack) {
    return {{sprocket_front, front},
            {sprocket_rear, rear},
            {chain_links, links},
            {axle_position, axle},
            {chain_slack, slack, on_the_stand},
            {chain_gauge_links, "20", pulled_tight},
            {chain_gauge_length, "317.6", pulled_tight}};
}

std::vector<Line> wheel(const char* marking, const char* pressure) {
    return {{tyre, marking}, {tyre_pressure_cold, pressure}};
}

BikeAsFound no_27() {
    const PlanePoint front_sprocket{mm(75), mm(14)};
    BikeBody body{.name = "No. 27",
                  .note = "Lanternhill Racing, 600, main bike",
                  .rear = {},
                  .front = {},
                  .geometry = {mm(575), mm(1378), mm(312), mm(297), mm(30), mm(435), degrees(24)}};
    body.rear.pairs = strut_table();
    body.mechanism = {{}, front_sprocket, mm(44)};
    body.gearbox = {2.02, 14500, {2.583, 2.0, 1.667, 1.444, 1.286, 1.167}};
    body.rear.tolerance = mm(2.0);
    body.front.tolerance = mm(2.0);
    return {body,
            front_sprocket,
            true,
            "4.0",
            "74.5",
            {newton(760), newton(1330), mm(486.4),
             chain("16", "43", "112", "24.5", "34") + wheel("180/55-17, medium", "1.9") + clicks("9", "12") +
                 std::vector<Line>{{eye_to_eye, "308,0"},
                                   {spring_free_length, "6 1/2 in"},
                                   {spring_installed_length, "153.1"},
                                   {spring_rate, "520 lb/in"},
                                   {gas_force, "120"}}},
            {newton(800), newton(980), mm(541.0),
             wheel("120/70-17, medium", "33 psi") + clicks("11", "10") +
                 std::vector<Line>{{fork_position, "6.0"},
                                   {fork_length, "742"},
                                   {spring_free_length, "286.0"},
                                   {spring_installed_length, "270.0"},
                                   {spring_rate, "8.2"},
                                   {gas_force, "0"}}}};
}

// Measured bolt to bolt with the bike standing alone: better than any ratio.
Linkage no_8_linkage() {
    Linkage l;
    l.unit_end = {Carrier::frame, {mm(-2.7), mm(184.6)}};
    l.rocker = Rocker{.pivot = {Carrier::frame, {mm(-25.4), mm(-101.9)}},
                      .rod_end = {Carrier::arm, {mm(-174.5), mm(-41)}},
                      .rod = mm(113),
                      .pivot_to_rod = mm(60.5),
                      .pivot_to_unit = mm(109),
                      .spread = degrees(-46),
                      .side = 1};
    return l;
}

BikeAsFound no_8() {
    const PlanePoint front_sprocket{mm(85), mm(12)};
    BikeBody body{.name = "No. 8",
                  .note = "Lanternhill Racing, 1000",
                  .rear = {},
                  .front = {},
                  .geometry = {mm(590), mm(1418), mm(316), mm(298), mm(28), mm(444), degrees(23.5)}};
    body.rear.leverage = 2.12;
    body.mechanism = {no_8_linkage(), front_sprocket, mm(48)};
    body.gearbox = {1.63, 13500, {2.6, 2.053, 1.737, 1.524, 1.364, 1.25}};
    body.rear.tolerance = mm(2.0);
    body.front.tolerance = mm(2.0);
    return {body,
            front_sprocket,
            true,
            "5.0",
            "81.0",
            {newton(820), newton(1400), mm(512.2),
             chain("16", "41", "114", "31.0", "38") + wheel("190/55-17, medium", "1.8") + clicks("8", "14") +
                 std::vector<Line>{{eye_to_eye, "316.0"},
                                   {spring_free_length, "170.0"},
                                   {spring_installed_length, "157.0"},
                                   {spring_rate, "540 lb/in"},
                                   {gas_force, "180"}}},
            {newton(860), newton(1040), mm(548.5),
             wheel("120/70-17, medium", "2.2") + clicks("12", "9") +
                 std::vector<Line>{{fork_position, "4.0"},
                                   {fork_length, "748"},
                                   {spring_free_length, "290.0"},
                                   {spring_installed_length, "275.0"},
                                   {spring_rate, "8.8"},
                                   {gas_force, "0"}}}};
}

BikeAsFound no_64() {
    BikeBody body{.name = "No. 64",
                  .note = "spare, on the second 600 frame",
                  .rear = {},
                  .front = {},
                  .geometry = {mm(575), mm(1386), mm(311), mm(297), mm(31), mm(430), degrees(24.4)}};
    body.rear.leverage = 1.98;
    body.rear.tolerance = mm(3.0);
    body.front.tolerance = mm(3.0);
    return {body,
            {mm(75), mm(14)},
            false,
            "4.0",
            "74.5",
            {newton(700), newton(1250), mm(478),
             chain("16", "43", "112", "24.5", "34") + wheel("180/55-17, medium", "1.9") + clicks("10", "10") +
                 std::vector<Line>{{eye_to_eye, "300"},
                                   {spring_free_length, "158.0"},
                                   {spring_installed_length, "147.0"},
                                   {spring_rate, "480 lb/in"},
                                   {gas_force, "100"}}},
            {newton(790), newton(970), mm(540), {}}};
}

}  // namespace

const std::vector<const char*>& people() {
    static const std::vector<const char*> all = {"Ilse", "Bram", "Noor"};
    return all;
}

const std::vector<BikeAsFound>& bikes() {
    static const std::vector<BikeAsFound> all = {no_27(), no_8(), no_64()};
    return all;
}

const std::vector<BikeBody>& archived_bikes() {
    static const std::vector<BikeBody> all = [] {
        BikeBody sold{.name = "No. 31", .note = "sold in March", .rear = {}, .front = {}, .geometry = {}};
        sold.rear.leverage = 2.2;
        return std::vector{sold};
    }();
    return all;
}

}  // namespace restand::demo
