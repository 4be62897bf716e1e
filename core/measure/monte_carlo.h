#pragma once
// Monte Carlo (JCGM 101:2008): the model at inputs drawn at random. An independent check of propagate(); what
// the app shows comes from propagate().
//
// Draws are made and computed in blocks. A draw depends on the seed and its number alone (philox.h), so the
// blocks may be computed in any order and by any number of threads; the result is the same.
// Normal for infinite dof, scaled Student t for finite dof (JCGM 101, 6.4.9.4), by the trigonometric method:
// from U and V, uniform in (0, 1), with E = −ln U,
//   normal    √(2E)·cos 2πV and √(2E)·sin 2πV: two inputs from one pair     Box & Muller 1958
//   Student   √(ν·(e^(2E/ν) − 1))·cos 2πV                                   Bailey 1994

#include <cstdint>

#include "core/measure/uncertainty.h"

namespace restand {

inline constexpr std::size_t block_draws = 128;

// Inputs or outputs at the draws of one block: [input or output][draw], block_draws values in each row.
class BlockValues {
public:
    explicit BlockValues(std::size_t rows) : values_(rows * block_draws) {}
    const double* operator[](std::size_t row) const { return values_.data() + row * block_draws; }
    double* operator[](std::size_t row) { return values_.data() + row * block_draws; }

private:
    std::vector<double> values_;
};
// Writes the outputs of one block; NaN where there is no answer.
using BlockModel = std::function<void(const BlockValues& x, BlockValues& y)>;

// How the inputs are drawn; made once for any number of blocks.
class Draws {
public:
    Draws(std::span<const Input> inputs, std::uint64_t seed);
    // Draws block_draws·block and those after it. An exact input is its value.
    void draw(std::uint64_t block, BlockValues& x) const;
    std::size_t inputs() const { return inputs_.size(); }

private:
    struct Row {
        double value, u;
    };
    struct Pair {  // of uniform numbers
        std::size_t cosine, sine;  // inputs; none: inputs_.size()
        double dof;
    };
    void make(const Pair& pair, const std::uint32_t* radius, const std::uint32_t* angle,
              BlockValues& x) const;

    std::vector<Row> inputs_;
    std::vector<Pair> pairs_;
    std::uint64_t seed_;
};

// The outputs at the draws from `block` on, as many as y[output] has room for; block by block.
void outputs_at(const BlockModel& model, const Draws& draws, std::uint64_t block,
                std::span<const std::span<double>> y);

struct Sampled { double mean, u, low, high; std::size_t refused; };  // shortest 95 % interval
// Of the values of one output at all draws; changes their order. NaN: refused. Error: no_solution (fewer than
// two draws have an answer).
Result<Sampled> summary(std::vector<double>& y);

// One Sampled per output. The same seed gives the same result. Errors: those of propagate() for the inputs;
// out_of_range (fewer than two runs); no_solution (fewer than two draws have an answer).
Result<std::vector<Sampled>> sample(const BlockModel& model, std::size_t outputs,
                                    std::span<const Input> inputs, std::size_t runs, std::uint64_t seed);
Result<std::vector<Sampled>> sample(const Model& model, std::span<const Input> inputs, std::size_t runs,
                                    std::uint64_t seed);

}  // namespace restand
