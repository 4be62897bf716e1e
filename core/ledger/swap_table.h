#pragma once
// The table of the readings that a swap asks for: one line a reading and step, in swap_table.cpp. Inside
// core/ledger only.

#include <span>

#include "core/ledger/swap.h"

namespace restand::swap_table {

// Sets of parts.
using Parts = unsigned;
constexpr Parts of(SwapPart part) {
    return 1u << static_cast<int>(part);
}
inline constexpr Parts shock = of(SwapPart::shock), shock_spring = of(SwapPart::shock_spring),
                rod = of(SwapPart::link_rod), rear_tyre = of(SwapPart::rear_tyre),
                sprockets = of(SwapPart::sprockets), chain = of(SwapPart::chain), fork = of(SwapPart::fork),
                fork_springs = of(SwapPart::fork_springs), oil = of(SwapPart::fork_oil),
                front_tyre = of(SwapPart::front_tyre), load = of(SwapPart::load);
// A load is of both ends: asked at the front, it has a bit of its own.
inline constexpr Parts load_front = 1u << swap_part_count, loads = load | load_front;
inline constexpr Parts none = 0, units = shock | fork, springs = shock_spring | fork_springs,
                refit = sprockets | chain, tyres = rear_tyre | front_tyre,
                rear = shock | shock_spring | rod | rear_tyre | refit | load,
                front = fork | fork_springs | oil | front_tyre | load_front, all = rear | front;
static_assert((rear & front) == none, "a part belongs to one end");
static_assert(all == (1u << (swap_part_count + 1)) - 1, "every part belongs to an end");
// These parts determine how an end stands; sprockets and chain only move its axle.
inline constexpr Parts stands = all & ~refit;

// The parts that ask for a point. `wanted`: it narrows the answer or the verdict. `useful`: for later work or
// a fuller answer. `needed`: of those that want it, the parts about which nothing can be said without it.
struct Line {
    Point point;
    Parts wanted, useful, needed = 0;
};

// Either of two readings is enough: one sprocket may stay, a tyre is identified by its marking or by its
// rolling circumference, a collar is set by the spring's length or by its preload. `needed`: nothing can be
// said without one of them.
struct OneOf {
    Phase phase;
    Parts parts;
    Point other, asked_for;
    bool needed;
};

std::span<const Line> lines(Phase phase);     // in working order
std::span<const OneOf> one_of();

}  // namespace restand::swap_table
