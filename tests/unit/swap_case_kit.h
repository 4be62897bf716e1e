#pragma once
// Swaps by their readings alone, for the tests of what is asked, answered, checked and kept.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "core/ledger/swap_solution.h"

namespace restand::test {

inline constexpr SwapPart all_parts[] = {SwapPart::shock,     SwapPart::shock_spring, SwapPart::link_rod,
                                  SwapPart::rear_tyre, SwapPart::sprockets,    SwapPart::chain,
                                  SwapPart::fork,      SwapPart::fork_springs, SwapPart::fork_oil,
                                  SwapPart::front_tyre, SwapPart::load};
static_assert(std::size(all_parts) == swap_part_count);

inline Swap swap_of(std::vector<SwapPart> parts) {
    Swap swap;
    swap.parts = std::move(parts);
    return swap;
}

inline Id id_of(std::uint8_t last) {
    Id id;
    id.bytes[15] = last;
    return id;
}

// Exact instruments, three equal repeats, nothing known of the spread before: the mean is exactly the number.
inline StoredReading stored(Point point, const std::string& text, std::int64_t at_ms = 1000) {
    const Unit unit = chosen({}, facts(point).dimension);
    StoredReading t;
    t.reading = {point, {{text, unit}, {text, unit}, {text, unit}}, {"exact", 0.0, 0.0}, ""};
    t.reading.spread = Spread{};
    t.at = {at_ms, 0};
    return t;
}

struct Swapped {
    Swap swap = swap_of({SwapPart::shock});
    Swapped& read(Phase phase, Point point, const std::string& text, std::int64_t at_ms = 1000) {
        swap.stored_readings[{phase, end_of(swap.parts.front()), point}].push_back(
            stored(point, text, at_ms));
        return *this;
    }
};

// The case of the issue, as readings.
inline Swapped issue_swap(SwapPart kind = SwapPart::shock) {
    Swapped s;
    s.swap.parts = {kind};
    s.read(Phase::before, Point::ride_height_topped_out, "500")
        .read(Phase::before, Point::ride_height_static, "490.3");
    s.read(Phase::before, Point::ride_height_rider, "469,8").read(Phase::before, Point::eye_to_eye, "310");
    s.read(Phase::before, Point::spring_rate, "95").read(Phase::before, Point::spring_free_length, "160");
    s.read(Phase::before, Point::spring_installed_length, "150").read(Phase::before, Point::gas_force, "150");
    s.read(Phase::new_part, Point::spring_rate, "100")
        .read(Phase::new_part, Point::spring_free_length, "155");
    s.read(Phase::new_part, Point::spring_block_length, "72").read(Phase::new_part, Point::travel, "66");
    s.read(Phase::new_part, Point::spring_installed_length, "148");
    s.read(Phase::new_part, Point::collar_mm_per_turn, "1.5");
    if (kind == SwapPart::shock) {
        s.read(Phase::new_part, Point::eye_to_eye, "305").read(Phase::new_part, Point::eye_to_eye_min, "300");
        s.read(Phase::new_part, Point::eye_to_eye_max, "316")
            .read(Phase::new_part, Point::length_mm_per_turn, "1.25");
        s.read(Phase::new_part, Point::gas_force, "420").read(Phase::new_part, Point::part_name, "long one");
    }
    return s;
}

// A shock read to the last digit before the swap, on a bike with this leverage ratio.
inline constexpr double read_ratio = 2.05;  // of wheel travel to shock travel
inline constexpr double read_rate = 95;     // of its spring, N/mm
inline constexpr double gravity = 9.80665;  // m/s²
inline Swapped read_shock() {
    Swapped s;
    for (const auto& [point, text] : {std::pair{Point::ride_height_topped_out, "500"},
                                      {Point::ride_height_static, "490"},
                                      {Point::ride_height_rider, "466"},
                                      {Point::eye_to_eye, "310"},
                                      {Point::spring_rate, "95"},
                                      {Point::spring_free_length, "160"},
                                      {Point::spring_installed_length, "150"},
                                      {Point::gas_force, "250"}})
        s.read(Phase::before, point, text);
    return s;
}

// The new shock's readings as the old one's, to the last digit.
inline void read_alike(Swapped& s) {
    for (const auto& [point, text] : {std::pair{Point::eye_to_eye, "310"},
                                      {Point::spring_rate, "95"},
                                      {Point::spring_free_length, "160"},
                                      {Point::spring_installed_length, "150"},
                                      {Point::collar_mm_per_turn, "1.5"},
                                      {Point::gas_force, "250"}})
        s.read(Phase::new_part, point, text);
}
// The same shock again, set as it was: with the same load every height is back.
inline Swapped refitted() {
    Swapped s = read_shock();
    read_alike(s);
    s.read(Phase::set, Point::eye_to_eye, "310").read(Phase::set, Point::spring_installed_length, "150");
    return s;
}
inline void checked(Swapped& s, double still, double rider) {
    s.read(Phase::check, Point::ride_height_topped_out, "500", 2000);
    s.read(Phase::check, Point::ride_height_static, std::to_string(still), 2000);
    s.read(Phase::check, Point::ride_height_rider, std::to_string(rider), 2000);
}

inline Bike bike_with(double leverage) {
    Bike bike;
    bike.body.name = "No. 27";
    bike.body.rear.leverage = leverage;
    return bike;
}

inline Swapped fork_swap(SwapPart kind) {
    Swapped s;
    s.swap.parts = {kind};
    s.read(Phase::before, Point::ride_height_topped_out, "620")
        .read(Phase::before, Point::ride_height_rider, "580");
    s.read(Phase::before, Point::fork_position, "6").read(Phase::before, Point::spring_rate, "9.5");
    s.read(Phase::before, Point::spring_free_length, "255")
        .read(Phase::before, Point::spring_installed_length, "240");
    s.read(Phase::new_part, Point::spring_rate, "10").read(Phase::new_part, Point::spring_free_length, "250");
    return s;
}

// A swap where the bike's only known values are the swap's readings.
inline Result<CaseInput> case_of(const Bike& bike, const Swap& swap) {
    return restand::case_of(SwapSite{bike.body, swap}, end_of(swap.parts.front()));
}
inline EndSolution solved(const Bike& bike, const Swap& swap) {
    return *solve_swap(SwapSite{bike.body, swap}).end(end_of(swap.parts.front()));
}
inline Result<UncertainAnswer> answer_of(const Bike& bike, const Swap& swap) {
    const SwapSite site{bike.body, swap};
    return uncertainty_of(site, solve_swap(site), end_of(swap.parts.front()));
}
inline Result<Prediction> prediction_as_set(const Bike& bike, const Swap& swap) {
    return solved(bike, swap).as_set;
}
inline Result<CheckResult> check_of(const Bike& bike, const Swap& swap) {
    return solved(bike, swap).check;
}
inline Result<Answer> correction_of(const Bike& bike, const Swap& swap) {
    return solved(bike, swap).correction;
}

inline bool near(Length a, double b_mm, double tolerance = 1e-6) {
    return std::fabs(in_mm(a) - b_mm) < tolerance;
}


}  // namespace restand::test
