// Draws from counters: the published words, the same result in any order and by any number of threads, and
// draws that are independent.

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <thread>

#include "core/measure/monte_carlo.h"
#include "core/measure/philox.h"

using namespace restand;

namespace {

constexpr double no_end = std::numeric_limits<double>::infinity();

std::vector<Input> mixed_inputs() {
    return {{"a", 5, 0.3, no_end}, {"exact", 2, 0, 0},  {"b", -2, 0.4, 6},
            {"c", 1, 0.1, no_end}, {"d", 0, 1, no_end}, {"e", 3, 0.2, 3.5}};
}

// Two outputs that need every input; no answer for some draws.
void blend(const BlockValues& x, BlockValues& y) {
    for (std::size_t d = 0; d < block_draws; ++d) {
        y[0][d] = x[0][d] * x[1][d] + x[2][d] - x[3][d];
        y[1][d] = x[4][d] > 2.0 ? std::numeric_limits<double>::quiet_NaN() : x[4][d] + x[5][d];
    }
}

}  // namespace

// The three vectors are those of the authors' test file for ten rounds, written down from memory; an error in
// either would show in all 128 bits.
TEST_CASE("philox: the published words at counters and keys of zeros, ones and digits of pi") {
    CHECK(philox({0, 0, 0, 0}, {0, 0}) == PhiloxWords{0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8});
    const std::uint32_t ones = 0xffffffff;
    CHECK(philox({ones, ones, ones, ones}, {ones, ones}) ==
          PhiloxWords{0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd});
    CHECK(philox({0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344}, {0xa4093822, 0x299f31d0}) ==
          PhiloxWords{0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1});
}

TEST_CASE("draws: a block is the same drawn first, last or again, and unlike every other block") {
    const auto inputs = mixed_inputs();
    const Draws draws(inputs, 7), other_seed(inputs, 8), far_seed(inputs, 7 + (std::uint64_t{1} << 32));
    BlockValues a(6), b(6), again(6);
    draws.draw(3, a);
    draws.draw(1'000'000'000'000, b);
    draws.draw(3, again);
    for (std::size_t i = 0; i < 6; ++i)
        for (std::size_t d = 0; d < block_draws; ++d) {
            REQUIRE(a[i][d] == again[i][d]);
            if (inputs[i].u > 0.0) REQUIRE(a[i][d] != b[i][d]);
        }
    for (const Draws* other : {&other_seed, &far_seed}) {
        other->draw(3, b);
        for (std::size_t d = 0; d < block_draws; ++d) REQUIRE(a[0][d] != b[0][d]);
    }
}

TEST_CASE("draws: the outputs are the same from one thread and from seven, whole or in pieces") {
    const auto inputs = mixed_inputs();
    const Draws draws(inputs, 11);
    constexpr std::size_t blocks = 75, runs = blocks * block_draws - 30;  // the last block is not full
    std::vector<double> first(runs), second(runs), first_again(runs), second_again(runs);
    const std::vector<std::span<double>> whole{first, second};
    outputs_at(blend, draws, 0, whole);
    std::vector<std::thread> threads;
    for (std::size_t t = 0; t < 7; ++t)
        threads.emplace_back([&, t] {
            for (std::size_t block = t; block < blocks; block += 7) {
                const std::size_t from = block * block_draws, count = std::min(block_draws, runs - from);
                const std::vector<std::span<double>> piece{std::span(first_again).subspan(from, count),
                                                           std::span(second_again).subspan(from, count)};
                outputs_at(blend, draws, block, piece);
            }
        });
    for (auto& thread : threads) thread.join();
    CHECK(first == first_again);
    std::size_t refused = 0;
    for (std::size_t d = 0; d < runs; ++d) {
        refused += std::isnan(second[d]);
        const bool alike =
            second[d] == second_again[d] || (std::isnan(second[d]) && std::isnan(second_again[d]));
        REQUIRE(alike);
    }
    CHECK(refused > 0);
    const auto sampled = sample(blend, 2, inputs, runs, 11);
    REQUIRE(sampled.has_value());
    CHECK((*sampled)[1].refused == refused);
    CHECK((*sampled)[0].mean == summary(first_again)->mean);
}

TEST_CASE("draws: inputs are uncorrelated, also two of one pair and their squares") {
    const std::vector<Input> inputs(5, Input{"z", 0, 1, no_end});
    const Draws draws(inputs, 3);
    constexpr int blocks = 2000;
    constexpr double n = blocks * double(block_draws);
    double product[5][5] = {}, squares[5][5] = {}, next[5] = {};
    BlockValues x(5);
    for (std::uint64_t block = 0; block < blocks; ++block) {
        draws.draw(block, x);
        for (std::size_t d = 0; d < block_draws; ++d)
            for (int i = 0; i < 5; ++i) {
                if (d > 0) next[i] += x[i][d] * x[i][d - 1];
                for (int k = 0; k < 5; ++k) {
                    product[i][k] += x[i][d] * x[k][d];
                    squares[i][k] += (x[i][d] * x[i][d] - 1.0) * (x[k][d] * x[k][d] - 1.0);
                }
            }
    }
    // Means of n products of variance 1, and of variance 4 for the squares; five standard errors.
    for (int i = 0; i < 5; ++i) {
        CHECK(std::fabs(next[i] / n) < 5 / std::sqrt(n));
        for (int k = 0; k < 5; ++k) {
            if (i == k) continue;
            CHECK(std::fabs(product[i][k] / n) < 5 / std::sqrt(n));
            CHECK(std::fabs(squares[i][k] / n) < 10 / std::sqrt(n));
        }
    }
}

TEST_CASE("sample: block by block and draw by draw give the same") {
    const auto inputs = mixed_inputs();
    const Model one = [](std::span<const double> x) -> std::optional<std::vector<double>> {
        return std::vector<double>{x[0] * x[1] + x[2] - x[3]};
    };
    const auto blocks = sample(blend, 2, inputs, 5000, 4), draws = sample(one, inputs, 5000, 4);
    REQUIRE(draws.has_value());
    CHECK((*blocks)[0].mean == (*draws)[0].mean);
    CHECK((*blocks)[0].low == (*draws)[0].low);
    CHECK((*blocks)[0].high == (*draws)[0].high);
}
