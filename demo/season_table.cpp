// Lanternhill Racing, season 2026. All of it is invented; the numbers are of a kind that occurs on road-based
// bikes of 600 to 1000 cc (judgement, no source).

#include "demo/season_table.h"

namespace restand::demo {
namespace {

// clang-format off: rows and columns of a table.
using enum Point;

// No. 27's strut table: unit length against ride height, a progressive linkage.
std::vector<std::pair<Length, Length>> strut_table() {
    std::vector<std::pair<Length, Length>> pairs;
    constexpr double lengths[] = {251, 258, 265, 272, 279, 286, 293, 300, 307, 314};
    constexpr double heights[] = {374.5, 387.7, 401.0, 414.4, 428.0, 441.8, 455.7, 469.8, 484.1, 498.6};
    for (std::size_t i = 0; i < std::size(lengths); ++i) pairs.emplace_back(mm(lengths[i]), mm(heights[i]));
    return pairs;
}

const std::vector<Line> chain_and_wheel = {
    {chain_slack, "34", "on the stand, mid span, tightest place"},
    {axle_position, "24.5", "both sides alike"},
    {sprocket_front, "16"},
    {sprocket_rear, "43"},
    {chain_links, "114"},
    {tyre, "180/55-17, medium"},
    {tyre_pressure_cold, "1.9"},
};

std::vector<Line> operator+(std::vector<Line> a, const std::vector<Line>& b) {
    a.insert(a.end(), b.begin(), b.end());
    return a;
}

constexpr const char* counted = "out from fully closed, closed is 0";

std::vector<Line> clicks(const char* low, const char* high, const char* rebound, const char* rebound_high) {
    return {{clicks_compression_low, low, counted},
            {clicks_compression_high, high, counted},
            {clicks_rebound_low, rebound, counted},
            {clicks_rebound_high, rebound_high, counted}};
}
std::vector<Line> clicks(const char* compression, const char* rebound) {
    return {{clicks_compression_low, compression, counted}, {clicks_rebound_low, rebound, counted}};
}

BikeAsFound no_27() {
    BikeBody body{.name = "No. 27",
                  .note = "Lanternhill Racing, 600, main bike",
                  .rear = {},
                  .front = {},
                  .geometry = {mm(578), mm(1378), mm(312), mm(297), mm(30), mm(394), degrees(24)}};
    body.rear.pairs = strut_table();
    body.mechanism = {{}, PlanePoint{mm(82), mm(14)}, mm(44)};
    body.gearbox = {2.02, 14500, {2.583, 2.0, 1.667, 1.444, 1.286, 1.167}};
    body.rear.tolerance = mm(2.0);
    body.front.tolerance = mm(1.5);
    return {body,
            true,
            {newton(760), newton(1330), mm(486.4),
             chain_and_wheel + clicks("9", "12") +
                 std::vector<Line>{{eye_to_eye, "308,0"},
                                   {spring_free_length, "6 1/2 in"},
                                   {spring_installed_length, "153.1"},
                                   {spring_rate, "520 lb/in"},
                                   {gas_force, "120"}}},
            {newton(800), newton(980), mm(541.0),
             clicks("11", "10") + std::vector<Line>{{fork_position, "6.0"},
                                                    {tyre, "120/70-17, medium"},
                                                    {tyre_pressure_cold, "33 psi"},
                                                    {fork_length, "742"},
                                                    {spring_free_length, "286.0"},
                                                    {spring_installed_length, "270.0"},
                                                    {spring_rate, "8.2"},
                                                    {gas_force, "0"}}}};
}

// Measured bolt to bolt with the bike standing alone: better than any ratio.
Linkage no_8_linkage() {
    Linkage l;
    l.unit_end = {Carrier::frame, {mm(15), mm(184)}};
    l.rocker = Rocker{.pivot = {Carrier::frame, {mm(-35), mm(-99)}},
                      .rod_end = {Carrier::arm, {mm(-174.5), mm(-41)}},
                      .rod = mm(113),
                      .pivot_to_rod = mm(60.5),
                      .pivot_to_unit = mm(109),
                      .spread = degrees(-46),
                      .side = 1};
    return l;
}

BikeAsFound no_8() {
    BikeBody body{.name = "No. 8",
                  .note = "Lanternhill Racing, 1000",
                  .rear = {},
                  .front = {},
                  .geometry = {mm(592), mm(1418), mm(316), mm(298), mm(28), mm(389), degrees(23.5)}};
    body.rear.leverage = 2.12;
    body.mechanism = {no_8_linkage(), PlanePoint{mm(86), mm(12)}, mm(48)};
    body.gearbox = {1.63, 13500, {2.6, 2.053, 1.737, 1.524, 1.364, 1.25}};
    body.rear.tolerance = mm(2.0);
    body.front.tolerance = mm(1.5);
    return {
        body,
        true,
        {newton(820), newton(1400), mm(512.2),
         clicks("8", "14") + std::vector<Line>{{chain_slack, "32", "on the stand, mid span, tightest place"},
                                               {axle_position, "31.0", "both sides alike"},
                                               {sprocket_front, "16"},
                                               {sprocket_rear, "41"},
                                               {chain_links, "116"},
                                               {tyre, "200/60-17, medium"},
                                               {tyre_pressure_cold, "1.8"},
                                               {eye_to_eye, "316.0"},
                                               {spring_free_length, "170.0"},
                                               {spring_installed_length, "157.0"},
                                               {spring_rate, "540 lb/in"},
                                               {gas_force, "180"}}},
        {newton(860), newton(1040), mm(548.5),
         clicks("12", "9") + std::vector<Line>{{fork_position, "4.0"},
                                               {tyre, "120/70-17, soft"},
                                               {tyre_pressure_cold, "2.2"},
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
                  .geometry = {mm(571), mm(1386), mm(311), mm(297), mm(31), mm(398), degrees(24.4)}};
    body.rear.leverage = 1.98;
    body.rear.tolerance = mm(3.0);
    body.front.tolerance = mm(3.0);
    return {body,
            false,
            {newton(700), newton(1250), mm(478),
             chain_and_wheel + clicks("10", "10") +
                 std::vector<Line>{{eye_to_eye, "300"},
                                   {spring_free_length, "158.0"},
                                   {spring_installed_length, "147.0"},
                                   {spring_rate, "480 lb/in"},
                                   {gas_force, "100"}}},
            {newton(790), newton(970), mm(540), {}}};
}

// Race shocks as they lie on the bench.
const std::vector<Line> race_shock_a = {{part_name, "race shock A"},
                                        {eye_to_eye, "306,5"},
                                        {eye_to_eye_min, "304"},
                                        {eye_to_eye_max, "316"},
                                        {length_mm_per_turn, "1.0"},
                                        {travel, "62"},
                                        {gas_force, "210"},
                                        {spring_rate, "95"},
                                        {spring_free_length, "160.2"},
                                        {spring_block_length, "76"},
                                        {spring_installed_length, "149.0"},
                                        {collar_mm_per_turn, "1.5"}};
const std::vector<Line> race_shock_a_serviced = {{part_name, "race shock A, back from service"},
                                                 {eye_to_eye, "309.5"},
                                                 {eye_to_eye_min, "304"},
                                                 {eye_to_eye_max, "316"},
                                                 {length_mm_per_turn, "1.0"},
                                                 {travel, "62"},
                                                 {gas_force, "205"},
                                                 {spring_rate, "550 lb/in"},
                                                 {spring_free_length, "158.2"},
                                                 {spring_block_length, "76"},
                                                 {spring_installed_length, "151.5"},
                                                 {collar_mm_per_turn, "1.5"}};
const std::vector<Line> race_shock_b = {
    {part_name, "race shock B"}, {eye_to_eye, "12 3/16 in"},         {eye_to_eye_min, "302"},
    {eye_to_eye_max, "314"},     {length_mm_per_turn, "1.25"},       {travel, "64"},
    {gas_force, "230"},          {spring_rate, "560 lb/in"},         {spring_free_length, "157.0"},
    {spring_block_length, "77"}, {spring_installed_length, "150.0"}, {collar_mm_per_turn, "1.5"}};
const std::vector<Line> race_shock_c = {{part_name, "race shock C, long body"},
                                        {eye_to_eye, "314.5"},
                                        {eye_to_eye_min, "310"},
                                        {eye_to_eye_max, "322"},
                                        {length_mm_per_turn, "1.0"},
                                        {travel, "66"},
                                        {gas_force, "250"},
                                        {spring_rate, "100"},
                                        {spring_free_length, "162.0"},
                                        {spring_block_length, "74"},
                                        {spring_installed_length, "153,5"},
                                        {collar_mm_per_turn, "1.5"}};
const std::vector<Line> club_shock = {{part_name, "second-hand race shock"},
                                      {eye_to_eye, "298.5"},
                                      {eye_to_eye_min, "296"},
                                      {eye_to_eye_max, "308"},
                                      {length_mm_per_turn, "1.0"},
                                      {travel, "60"},
                                      {gas_force, "40 lb"},
                                      {spring_rate, "90"},
                                      {spring_free_length, "160.0"},
                                      {spring_block_length, "72"},
                                      {spring_installed_length, "150.5"},
                                      {collar_mm_per_turn, "1.75"}};

std::vector<Line> spring(const char* rate, const char* free, const char* block, const char* stroke,
                         const char* installed, const char* pitch) {
    return {{spring_rate, rate}, {spring_free_length, free},           {spring_block_length, block},
            {travel, stroke},    {spring_installed_length, installed}, {collar_mm_per_turn, pitch}};
}
std::vector<Line> fork_legs(const char* name, const char* length, const char* position) {
    return {{part_name, name},        {fork_length, length},     {fork_position, position},
            {fork_position_min, "0"}, {fork_position_max, "16"}, {gas_force, "0"}};
}

std::vector<SwapDay> spring_half() {
    using enum SwapPart;
    return {
        {{3, 14, 10},
         0,
         shock,
         0,
         "Road shock out, race shock A in. Shed day, it stands as it did on the road.",
         {},
         race_shock_a,
         clicks("14", "20", "12", "15")},
        {{3, 21, 13},
         1,
         shock,
         1,
         "Race shock C for the road one: it faded after ten laps at Tarnmoor.",
         {{tyre, "200/60-17, soft"}},
         race_shock_c,
         clicks("16", "22", "11", "16")},
        {{3, 28, 9},
         0,
         fork_springs,
         2,
         "8.2 dived to the stop on the brakes at Tarnmoor. 9.0 in.",
         {},
         spring("9.0", "282.0", "146", "120", "272.5", "1.0"),
         clicks("10", "11")},
        {{4, 18, 8},
         0,
         shock_spring,
         0,
         "Next spring up for the long right at Kesselau, it pumped there.",
         {{tyre, "180/60-17, soft"}, {chain_slack, "35", "on the stand, mid span, tightest place"}},
         spring("560 lb/in", "158.4", "75", "62", "150.0", "1.5"),
         clicks("13", "20", "10", "14")},
        {{4, 25, 15},
         1,
         fork_springs,
         1,
         "9.2 in, so the front stays up over the hill at Kesselau.",
         {},
         spring("9.2", "288.0", "148", "125", "276.0", "1.0"),
         clicks("11", "9")},
        {{5, 9, 11},
         0,
         fork_springs,
         2,
         "9.5 for Port Ablen: two hard stops from top gear.",
         {{tyre_pressure_cold, "2.3"}},
         spring("9,5", "282.5", "146", "120", "274.0", "1.0"),
         clicks("10", "12")},
        {{5, 30, 7},
         0,
         shock,
         0,
         "Shock A weeps at the seal. B in for Marrowfield, A away to be serviced.",
         {{sprocket_rear, "44"}, {axle_position, "22.0", "both sides alike"}},
         race_shock_b,
         clicks("12", "18", "13", "15")},
        {{6, 6, 9},
         1,
         shock_spring,
         1,
         "105 for the new surface at Port Ablen, more grip, it sat down.",
         {{sprocket_rear, "42"}, {axle_position, "28.5", "both sides alike"}},
         spring("105", "160.0", "75", "66", "152.0", "1.5"),
         clicks("15", "22", "10", "15")},
    };
}

std::vector<SwapDay> autumn_half() {
    using enum SwapPart;
    return {
        {{6, 12, 17},
         2,
         shock,
         2,
         "Spare bike on a race shock too, so it can go out without thinking.",
         {},
         club_shock,
         clicks("15", "20", "14", "14")},
        {{6, 20, 6},
         0,
         shock_spring,
         0,
         "Rain all weekend at Gullmere: back to 95 for the wet.",
         {{tyre, "190/55-17, rain"}, {tyre_pressure_cold, "30 psi"}},
         spring("95", "159.0", "77", "64", "151.0", "1.5"),
         clicks("18", "24", "16", "18"),
         Until::kept,
         mm(1.9)},
        {{7, 11, 10},
         0,
         fork,
         2,
         "Fresh legs with the new valves. Old pair stays as the spare.",
         {{tyre, "120/70-17, soft"}},
         fork_legs("legs 2", "745.5", "5") + spring("9.5", "284.0", "147", "120", "275.5", "1.0"),
         clicks("13", "14")},
        {{7, 18, 14},
         1,
         fork,
         1,
         "Left tube marked in the gravel at Marrowfield. Spare legs in.",
         {{tyre, "120/70-17, medium"}},
         fork_legs("spare legs", "752", "8") + spring("9.4", "287.0", "148", "125", "276.0", "1.0"),
         clicks("10", "10")},
        {{8, 8, 8},
         0,
         shock_spring,
         0,
         "Dry again, and hot. 100 for Lowen Heath, its quick left is flat.",
         {{tyre, "180/60-17, medium"},
          {tyre_pressure_cold, "1.9"},
          {sprocket_front, "15"},
          {chain_links, "112"}},
         spring("100", "6 3/16 in", "77", "64", "150.0", "1.5"),
         clicks("12", "18", "12", "15")},
        {{8, 22, 12},
         1,
         shock_spring,
         1,
         "105 was too much on worn tyres. Between the two, kinder to them.",
         {{tyre, "200/60-17, medium"}},
         spring("570 lb/in", "161.0", "74", "66", "151.5", "1.5"),
         clicks("16", "22", "12", "16")},
        {{9, 5, 9},
         0,
         fork_springs,
         2,
         "10.0 for the downhill chicane at Tarnmoor. Last step there is.",
         {},
         spring("10.0", "281.0", "147", "120", "274.0", "1.0"),
         clicks("12", "15")},
        {{10, 24, 16}, 1, fork_springs, 1, "", {}, {}, {}, Until::before_half_read},
        {{10, 25, 8}, 0, shock, 0, "", {{tyre, "180/60-17, soft"}}, race_shock_a_serviced, {}, Until::answer},
    };
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

const std::vector<ShelfPart>& shelf_parts() {
    using P = Point;
    static const std::vector<ShelfPart> all = {
        {SwapPart::shock_spring,
         "blue, 90",
         {{P::spring_rate, "90"}, {P::spring_free_length, "161.0"}, {P::spring_block_length, "78"}}},
        {SwapPart::shock_spring,
         "red, 97",
         {{P::spring_rate, "97"}, {P::spring_free_length, "158.5"}, {P::spring_block_length, "80"}}},
        {SwapPart::shock_spring,
         "white, 110",
         {{P::spring_rate, "110"}, {P::spring_free_length, "155.0"}, {P::spring_block_length, "82"}}},
        {SwapPart::fork_springs, "pair, 10.0", {{P::spring_rate, "10.0"}, {P::spring_free_length, "252"}}},
        {SwapPart::sprockets, "front 15", {{P::sprocket_front, "15"}}},
        {SwapPart::sprockets, "front 16", {{P::sprocket_front, "16"}}},
        {SwapPart::sprockets, "rear 42", {{P::sprocket_rear, "42"}}},
        {SwapPart::sprockets, "rear 43", {{P::sprocket_rear, "43"}}},
        {SwapPart::sprockets, "rear 44", {{P::sprocket_rear, "44"}}},
        {SwapPart::sprockets, "rear 45", {{P::sprocket_rear, "45"}}},
        {SwapPart::chain, "spare, 116 links", {{P::chain_links, "116"}}},
        {SwapPart::rear_tyre,
         "rain, rear",
         {{P::tyre, "190/55-17 rain"}, {P::rolling_circumference, "1988"}}},
        {SwapPart::front_tyre,
         "rain, front",
         {{P::tyre, "120/70-17 rain"}, {P::rolling_circumference, "1879"}}}};
    return all;
}

const std::vector<SwapDay>& swap_days() {
    static const std::vector<SwapDay> all = [] {
        auto days = spring_half();
        const auto rest = autumn_half();
        days.insert(days.end(), rest.begin(), rest.end());
        return days;
    }();
    return all;
}

}  // namespace restand::demo
