// The swaps of the season, with the parts that came in, and what else lies on the shelf. Invented, as the
// bikes are (season_bikes.cpp).

#include "demo/season_rows.h"

namespace restand::demo {
namespace {

using enum Point;

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
                                        {spring_rate, "98"},
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

std::vector<Line> on_tyre(const char* marking) {
    return {{tyre, marking}};
}
// The ends and the thread of a shock that stays in, for another wheel's radius.
std::vector<Line> length_adjuster(const char* min, const char* max, const char* per_turn) {
    return {{eye_to_eye_min, min}, {eye_to_eye_max, max}, {length_mm_per_turn, per_turn}};
}
std::vector<Line> fork_range() {
    return {{fork_position_min, "0"}, {fork_position_max, "16"}};
}

std::vector<SwapDay> march_and_april() {
    using enum SwapPart;
    return {
        {{3, 14, 10},
         0,
         {shock},
         0,
         "4.0",
         "Road shock out, race shock A in. Shed day, it stands as it did on the road.",
         {},
         race_shock_a,
         clicks("14", "20", "12", "15")},
        {{3, 21, 13},
         1,
         {shock},
         1,
         "5.0",
         "Race shock C for the road one: it faded after ten laps at Tarnmoor.",
         {},
         race_shock_c,
         clicks("16", "22", "11", "16")},
        {{3, 28, 9},
         0,
         {fork_springs},
         2,
         "5.5",
         "8.2 dived to the stop on the brakes at Tarnmoor. 9.0 in.",
         {},
         spring("9.0", "282.0", "146", "120", "272.5", "1.0"),
         clicks("10", "11")},
        {{4, 18, 8},
         0,
         {shock_spring, rear_tyre},
         0,
         "6.0",
         "Next spring up and soft tyres for the long right at Kesselau, it pumped there.",
         {},
         spring("560 lb/in", "158.4", "75", "62", "150.0", "1.5") + length_adjuster("304", "316", "1.0") +
             on_tyre("180/55-17, soft"),
         clicks("13", "20", "10", "14"),
         Until::kept,
         mm(1.9)},
        {{4, 25, 15},
         1,
         {fork_springs},
         1,
         "6.5",
         "9.2 in, so the front stays up over the hill at Kesselau.",
         {},
         spring("9.2", "288.0", "148", "125", "276.0", "1.0"),
         clicks("11", "9")},
    };
}

std::vector<SwapDay> may_to_june() {
    using enum SwapPart;
    return {
        {{5, 9, 11},
         0,
         {fork_springs},
         2,
         "2.0",
         "9.5 for Port Ablen: two hard stops from top gear.",
         {{tyre_pressure_cold, "2.3"}},
         spring("9,5", "282.5", "146", "120", "274.0", "1.0"),
         clicks("10", "12"),
         Until::kept,
         mm(0.0),
         "12.5"},
        {{5, 30, 7},
         0,
         {shock, sprockets, rear_tyre},
         0,
         "4.5",
         "Shock A weeps at the seal. B in for Marrowfield, A away to be serviced. One tooth more.",
         {},
         race_shock_b + on_tyre("180/55-17, medium") + std::vector<Line>{{sprocket_rear, "44"}},
         clicks("12", "18", "13", "15")},
        {{6, 6, 9},
         1,
         {shock_spring, sprockets, rear_tyre},
         1,
         "5.0",
         "102 and soft tyres for the new surface at Port Ablen, it sat down. One tooth more.",
         {},
         spring("102", "160.0", "75", "66", "152.0", "1.5") + length_adjuster("310", "322", "1.0") +
             on_tyre("190/55-17, soft") + std::vector<Line>{{sprocket_rear, "42"}},
         clicks("15", "22", "10", "15")},
    };
}

std::vector<SwapDay> june_and_july() {
    using enum SwapPart;
    return {
        {{6, 12, 17},
         2,
         {shock},
         2,
         "4.0",
         "Spare bike on a race shock too, so it can go out without thinking.",
         {},
         club_shock,
         clicks("15", "20", "14", "14")},
        {{6, 20, 6},
         0,
         {shock_spring, rear_tyre},
         0,
         "5.0",
         "Rain all weekend at Gullmere: rain tyres, and back to 95 for the wet.",
         {},
         spring("95", "159.0", "77", "64", "151.0", "1.5") + length_adjuster("302", "314", "1.25") +
             on_tyre("190/55-17, rain"),
         clicks("18", "24", "16", "18")},
        {{6, 20, 9},
         0,
         {front_tyre},
         2,
         "5.0",
         "The rain tyre in front.",
         {},
         fork_range() + on_tyre("120/70-17, rain"),
         {}},
        {{7, 11, 10},
         0,
         {fork, front_tyre},
         2,
         "3.5",
         "Fresh legs with the new valves, on a dry tyre. Old pair stays as the spare.",
         {},
         fork_legs("legs 2", "745.5", "5") + spring("9.5", "284.0", "147", "120", "275.5", "1.0") +
             on_tyre("120/70-17, medium"),
         clicks("13", "14")},
        {{7, 11, 15},
         0,
         {rear_tyre},
         2,
         "3.5",
         "Rain tyre off the rear as well, for Tarnmoor.",
         {},
         length_adjuster("302", "314", "1.25") + on_tyre("180/55-17, medium"),
         {}},
    };
}

std::vector<SwapDay> july_to_october() {
    using enum SwapPart;
    return {
        {{7, 18, 14},
         1,
         {fork},
         1,
         "6.0",
         "Left tube marked in the gravel at Marrowfield. Spare legs in.",
         {},
         fork_legs("spare legs", "752", "8") + spring("9.4", "287.0", "148", "125", "276.0", "1.0"),
         clicks("10", "10")},
        {{8, 8, 8},
         0,
         {shock_spring, sprockets, chain},
         0,
         "6.0",
         "100 for Lowen Heath, its quick left is flat. Shorter gearing, and a new chain with it.",
         {{tyre_pressure_cold, "1.9"}},
         spring("100", "6 3/16 in", "77", "64", "150.0", "1.5") +
             std::vector<Line>{{sprocket_front, "15"}, {chain_links, "112"}},
         clicks("12", "18", "12", "15")},
        {{8, 22, 12},
         1,
         {shock_spring, rear_tyre},
         1,
         "5.5",
         "102 was too much on worn tyres. Between the two, and medium ones, which last.",
         {},
         spring("570 lb/in", "161.0", "74", "66", "151.5", "1.5") + length_adjuster("310", "322", "1.0") +
             on_tyre("190/55-17, medium"),
         clicks("16", "22", "12", "16")},
        {{9, 5, 9},
         0,
         {fork_springs},
         2,
         "5.0",
         "10.0 for the downhill chicane at Tarnmoor. Last step there is.",
         {},
         spring("10.0", "281.0", "147", "120", "274.0", "1.0"),
         clicks("12", "15")},
        {{10, 24, 16}, 1, {fork_springs}, 1, "4.5", "", {}, {}, {}, Until::before_half_read},
        {{10, 25, 8}, 0, {shock}, 0, "5.0", "", {}, race_shock_a_serviced, {}, Until::answer},
    };
}

}  // namespace

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
        std::vector<SwapDay> days;
        for (const auto& part : {march_and_april(), may_to_june(), june_and_july(), july_to_october()})
            days.insert(days.end(), part.begin(), part.end());
        return days;
    }();
    return all;
}

}  // namespace restand::demo
