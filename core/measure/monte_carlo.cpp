// Every loop over the draws of a block is plain and of constant length, so the compiler vectorises it
// (core/CMakeLists.txt). JCGM 101:2008, 7.

#include "core/measure/monte_carlo.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "core/measure/philox.h"
#include "core/quantity/lane_math.h"

namespace restand {
namespace {

using Lane = double[block_draws];

// Uniform in (0, 1) from 32 bits: the middle of each of 2^32 cells.
double uniform(std::uint32_t word) {
    return (std::bit_cast<double>(word | 0x4330000000000000u) - (0x1p52 - 0.5)) * 0x1p-32;
}

// The shortest interval that holds 95 % of the values (JCGM 101, 7.7). Only its possible ends are sorted: the
// lowest and the highest values.
std::pair<double, double> shortest_95(std::vector<double>& y) {
    const auto n = static_cast<double>(y.size());
    const auto inside = std::min(static_cast<std::size_t>(std::round(0.95 * n)), y.size() - 1);
    const auto lows = static_cast<std::ptrdiff_t>(y.size() - inside),
               highs = static_cast<std::ptrdiff_t>(inside);
    if (lows < highs) {
        std::nth_element(y.begin(), y.begin() + lows, y.end());
        std::nth_element(y.begin() + lows, y.begin() + highs, y.end());
        std::sort(y.begin(), y.begin() + lows);
        std::sort(y.begin() + highs, y.end());
    } else {
        std::sort(y.begin(), y.end());
    }
    std::size_t best = 0;
    for (std::size_t i = 0; i + inside < y.size(); ++i)
        if (y[i + inside] - y[i] < y[best + inside] - y[best]) best = i;
    return {y[best], y[best + inside]};
}

}  // namespace

Draws::Draws(std::span<const Input> inputs, std::uint64_t seed) : seed_(seed) {
    const std::size_t none = inputs.size();
    std::optional<std::size_t> open;  // a pair of normals whose second one is free
    for (std::size_t i = 0; i < inputs.size(); ++i) {
        inputs_.push_back({inputs[i].value, inputs[i].u});
        if (inputs[i].u == 0.0) continue;
        const bool normal = std::isinf(inputs[i].dof);
        if (normal && open) {
            pairs_[*open].sine = i;
            open.reset();
            continue;
        }
        if (normal) open = pairs_.size();
        pairs_.push_back({i, none, inputs[i].dof});
    }
}

void Draws::draw(std::uint64_t block, BlockValues& x) const {
    for (std::size_t i = 0; i < inputs_.size(); ++i)
        if (inputs_[i].u == 0.0) std::fill_n(x[i], block_draws, inputs_[i].value);
    const PhiloxKey key{static_cast<std::uint32_t>(seed_), static_cast<std::uint32_t>(seed_ >> 32)};
    const std::uint64_t first = block * block_draws;  // its low half does not overflow within a block
    std::uint32_t words[4][block_draws];
    for (std::size_t k = 0; k < pairs_.size(); ++k) {
        if (k % 2 == 0)
            for (std::uint32_t d = 0; d < block_draws; ++d) {
                const PhiloxWords w =
                    philox({static_cast<std::uint32_t>(first) + d, static_cast<std::uint32_t>(first >> 32),
                            static_cast<std::uint32_t>(k / 2), 0u},
                           key);
                for (std::size_t i = 0; i < 4; ++i) words[i][d] = w[i];
            }
        make(pairs_[k], words[k % 2 * 2], words[k % 2 * 2 + 1], x);
    }
}

void Draws::make(const Pair& pair, const std::uint32_t* radius_words, const std::uint32_t* angle_words,
                 BlockValues& x) const {
    Lane radius, cosine, sine;
    for (std::size_t d = 0; d < block_draws; ++d) radius[d] = -2.0 * natural_log(uniform(radius_words[d]));
    const double dof = pair.dof;
    if (!std::isinf(dof))
        for (double& r : radius) r = dof * exponential_minus_one(r / dof);
    for (std::size_t d = 0; d < block_draws; ++d) {
        const SineCosine at = sine_cosine_within_pi((uniform(angle_words[d]) - 0.5) * 6.283185307179586);
        const double r = std::sqrt(radius[d]);
        cosine[d] = r * at.cosine;
        sine[d] = r * at.sine;
    }
    const auto put = [&](std::size_t input, const Lane& unit) {
        const Row row = inputs_[input];
        double* to = x[input];
        for (std::size_t d = 0; d < block_draws; ++d) to[d] = row.value + row.u * unit[d];
    };
    put(pair.cosine, cosine);
    if (pair.sine < inputs_.size()) put(pair.sine, sine);
}

void outputs_at(const BlockModel& model, const Draws& draws, std::uint64_t block,
                std::span<const std::span<double>> y) {
    if (y.empty()) return;
    BlockValues in(draws.inputs()), out(y.size());
    for (std::size_t done = 0; done < y[0].size(); done += block_draws, ++block) {
        draws.draw(block, in);
        model(in, out);
        const std::size_t count = std::min(block_draws, y[0].size() - done);
        for (std::size_t k = 0; k < y.size(); ++k) std::copy_n(out[k], count, y[k].begin() + done);
    }
}

Result<Sampled> summary(std::vector<double>& y) {
    const std::size_t runs = y.size();
    std::erase_if(y, [](double v) { return !std::isfinite(v); });
    if (y.size() < 2) return Error{ErrorCode::no_solution, "", "at fewer than two of the draws"};
    const auto n = static_cast<double>(y.size());
    const double mean = std::accumulate(y.begin(), y.end(), 0.0) / n;
    double squares = 0.0;
    for (double v : y) squares += (v - mean) * (v - mean);
    const auto [low, high] = shortest_95(y);
    return Sampled{mean, std::sqrt(squares / (n - 1.0)), low, high, runs - y.size()};
}

Result<std::vector<Sampled>> sample(const BlockModel& model, std::size_t outputs,
                                    std::span<const Input> inputs, std::size_t runs, std::uint64_t seed) {
    if (auto error = unsound(inputs)) return *std::move(error);
    if (runs < 2) return Error{ErrorCode::out_of_range, "runs", "2 <= x"};
    std::vector<std::vector<double>> values(outputs, std::vector<double>(runs));
    const std::vector<std::span<double>> rows(values.begin(), values.end());
    outputs_at(model, Draws(inputs, seed), 0, rows);
    std::vector<Sampled> results;
    for (auto& y : values) {
        const auto of = summary(y);
        if (!of) return of.error();
        results.push_back(*of);
    }
    return results;
}

Result<std::vector<Sampled>> sample(const Model& model, std::span<const Input> inputs, std::size_t runs,
                                    std::uint64_t seed) {
    if (auto error = unsound(inputs)) return *std::move(error);
    // How many outputs there are, only an answer tells: the first draw that has one.
    std::vector<double> x(inputs.size());
    std::optional<std::vector<double>> y;
    const auto at = [&](const BlockValues& in, std::size_t d) {
        for (std::size_t i = 0; i < x.size(); ++i) x[i] = in[i][d];
        y = model(x);
    };
    const Draws draws(inputs, seed);
    BlockValues in(inputs.size());
    for (std::size_t run = 0; run < runs && !y; ++run) {
        if (run % block_draws == 0) draws.draw(run / block_draws, in);
        at(in, run % block_draws);
    }
    if (!y && runs >= 2) return Error{ErrorCode::no_solution, "", "at fewer than two of the draws"};
    const std::size_t outputs = y ? y->size() : 0;
    const BlockModel one_by_one = [&](const BlockValues& drawn, BlockValues& out) {
        for (std::size_t d = 0; d < block_draws; ++d) {
            at(drawn, d);
            check(!y || y->size() == outputs, "a model that changes its outputs");
            const bool sound =
                y && std::all_of(y->begin(), y->end(), [](double v) { return std::isfinite(v); });
            for (std::size_t k = 0; k < outputs; ++k)
                out[k][d] = sound ? (*y)[k] : std::numeric_limits<double>::quiet_NaN();
        }
    };
    return sample(one_by_one, outputs, inputs, runs, seed);
}

}  // namespace restand
