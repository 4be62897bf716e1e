#include "core/ledger/contradiction.h"

#include <doctest/doctest.h>

#include <cmath>
#include <map>

#include "tests/unit/ledger_kit.h"

using namespace restand;

namespace {

using P = Point;

struct Read {
    std::map<Point, Reading> readings;
    Read& is(Point point, const char* text) {
        readings.insert_or_assign(point, test::reading(point, text));
        return *this;
    }
    ReadingOf of() const {
        return [this](Point point) {
            const auto it = readings.find(point);
            return it == readings.end() ? nullptr : &it->second;
        };
    }
};

}  // namespace

TEST_CASE(
    "contradiction: a spring is fitted no longer than it is loose, and its coils touch at less than both") {
    Read spring;
    spring.is(P::spring_free_length, "160").is(P::spring_installed_length, "161");
    for (const Point typed : {P::spring_free_length, P::spring_installed_length}) {
        const auto order = out_of_order(typed, spring.of());
        REQUIRE(order);
        CHECK(order->small == P::spring_installed_length);
        CHECK(in_mm(order->large_is) == 160);
    }
    CHECK_FALSE(out_of_order(P::spring_block_length, spring.of()));
    spring.is(P::spring_installed_length, "150").is(P::spring_block_length, "155");
    CHECK(out_of_order(P::spring_block_length, spring.of())->large == P::spring_installed_length);
    CHECK(out_of_order(P::spring_installed_length, spring.of()));
    CHECK_FALSE(out_of_order(P::spring_free_length, spring.of()));
    spring.is(P::spring_block_length, "165");
    CHECK(out_of_order(P::spring_free_length, spring.of())->small == P::spring_block_length);
    CHECK_FALSE(out_of_order(P::eye_to_eye, spring.of()));
}

TEST_CASE("contradiction: beside a helper the installed length is that of both springs") {
    Read spring;
    spring.is(P::spring_free_length, "160").is(P::spring_installed_length, "175");
    spring.is(P::helper_free_length, "25").is(P::helper_block_length, "8").is(P::helper_rate, "20");
    CHECK_FALSE(out_of_order(P::spring_installed_length, spring.of()));
    CHECK(in_mm(*preload_by_lengths(spring.of())) == doctest::Approx(10));
    spring.is(P::spring_installed_length, "186");
    CHECK(in_mm(out_of_order(P::spring_installed_length, spring.of())->large_is) == 185);
    // Such a helper hides whether the main spring's coils touch.
    spring.is(P::spring_installed_length, "150").is(P::spring_block_length, "155");
    CHECK_FALSE(out_of_order(P::spring_block_length, spring.of()));
}

TEST_CASE("contradiction: two preloads are two only where the readings can tell them apart") {
    Read spring;
    spring.is(P::spring_free_length, "160").is(P::spring_installed_length, "147.7");
    CHECK_FALSE(two_preloads(P::spring_preload, spring.of()));
    spring.is(P::spring_preload, "8");
    const auto two = two_preloads(P::spring_preload, spring.of());
    REQUIRE(two);
    CHECK(in_mm(two->by_lengths) == doctest::Approx(12.3));
    CHECK(in_mm(two->read) == 8);
    // The least difference that counts is their uncertainty, by GUM 5.1.2 the root of the sum of squares.
    double sum = 0;
    for (const auto& [point, reading] : spring.readings) {
        const double u = expanded_95(measured(reading));
        sum += u * u;
    }
    const double allowed = std::sqrt(sum);
    REQUIRE(allowed > 0.05);
    spring.is(P::spring_preload, std::to_string(12.3 - 0.98 * allowed).c_str());
    CHECK_FALSE(two_preloads(P::spring_preload, spring.of()));
    spring.is(P::spring_preload, std::to_string(12.3 - 1.02 * allowed).c_str());
    CHECK(two_preloads(P::spring_preload, spring.of()));
}

TEST_CASE("contradiction: turns of the collar are a preload, too") {
    Read spring;
    spring.is(P::spring_free_length, "160.5").is(P::spring_installed_length, "151");
    spring.is(P::collar_mm_per_turn, "1.5");
    CHECK_FALSE(two_preloads(P::collar_mm_per_turn, spring.of()));
    spring.is(P::preload_turns, "1.5");
    for (const Point typed : {P::preload_turns, P::collar_mm_per_turn, P::spring_installed_length}) {
        const auto two = two_preloads(typed, spring.of());
        REQUIRE(two);
        CHECK(in_mm(two->by_lengths) == doctest::Approx(9.5));
        CHECK(in_mm(two->read) == doctest::Approx(2.25));
    }
    spring.is(P::preload_turns, "6.25");
    CHECK_FALSE(two_preloads(P::preload_turns, spring.of()));
    // What was read itself goes before the turns.
    spring.is(P::spring_preload, "9.5").is(P::preload_turns, "1.5");
    CHECK_FALSE(two_preloads(P::preload_turns, spring.of()));
}

TEST_CASE("contradiction: an adjuster stands within its range, at either end") {
    for (const auto& [low, is, high] :
         {std::tuple{P::eye_to_eye_min, P::eye_to_eye, P::eye_to_eye_max},
          std::tuple{P::fork_position_min, P::fork_position, P::fork_position_max}}) {
        Read range;
        range.is(low, "305").is(is, "310").is(high, "318");
        for (const Point typed : {low, is, high}) CHECK_FALSE(out_of_order(typed, range.of()));
        range.is(low, "330");
        REQUIRE(out_of_order(low, range.of()));
        CHECK(out_of_order(low, range.of())->large == is);
        CHECK(out_of_order(high, range.of())->small == low);
        range.is(low, "305").is(is, "318.5");
        CHECK(out_of_order(is, range.of())->large == high);
        CHECK_FALSE(out_of_order(low, range.of()));
    }
}
