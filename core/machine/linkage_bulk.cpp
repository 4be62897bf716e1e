// Every loop over the lanes of a block is plain and of constant length, so the compiler vectorises it
// (core/CMakeLists.txt).

#include "core/machine/linkage_bulk.h"

#include <algorithm>

#include "core/machine/linkage_kernel.h"
#include "core/quantity/lane_math.h"

namespace restand {
namespace {

constexpr std::size_t lanes = 64;
struct Block {
    double droop[lanes], cosine[lanes], sine[lanes], length[lanes], slope[lanes], bend[lanes];
};

template <bool has_rocker>
void compute(const LinkageConstants& k, Block& b) {
    for (std::size_t i = 0; i < lanes; ++i) {
        const SineCosine at = sine_cosine(b.droop[i]);
        b.cosine[i] = at.cosine;
        b.sine[i] = at.sine;
    }
    for (std::size_t i = 0; i < lanes; ++i) {
        const auto terms = linkage_terms_at<has_rocker, double>(k, b.cosine[i], b.sine[i], k.rod);
        b.length[i] = terms.length;
        b.slope[i] = terms.slope;
        b.bend[i] = terms.bend;
    }
}

}  // namespace

LinkagePlaces places_at(const LinkageConstants& linkage, std::span<const double> droop) {
    LinkagePlaces out;
    const std::pair<std::vector<double>*, double(Block::*)[lanes]> columns[] = {{&out.length, &Block::length},
                                                                                {&out.slope, &Block::slope},
                                                                                {&out.bend, &Block::bend},
                                                                                {&out.cosine, &Block::cosine},
                                                                                {&out.sine, &Block::sine}};
    for (const auto& [column, of] : columns) column->resize(droop.size());
    Block block{};
    for (std::size_t done = 0; done < droop.size(); done += lanes) {
        const auto count = std::min(lanes, droop.size() - done);
        std::copy_n(droop.data() + done, count, block.droop);
        linkage.has_rocker ? compute<true>(linkage, block) : compute<false>(linkage, block);
        for (const auto& [column, of] : columns) std::copy_n(block.*of, count, column->data() + done);
    }
    return out;
}

}  // namespace restand
