// The table of what a swap asks for. A new reading is one line here.

#include "core/ledger/swap.h"

#include <algorithm>
#include <array>

namespace restand {
namespace {

constexpr bool needed = true;
constexpr bool useful = false;

// Lists one behind the other, at compile time.
template <std::size_t... N>
constexpr auto joined(const std::array<Asked, N>&... lists) {
    std::array<Asked, (N + ...)> all{};
    auto end = all.begin();
    ((end = std::copy(lists.begin(), lists.end(), end)), ...);
    return all;
}

// Runs that several swaps ask for, each in the order a person walks.
constexpr std::array heights = {
    Asked{Point::ride_height_topped_out, needed},
    Asked{Point::ride_height_static, useful},
    Asked{Point::ride_height_rider, needed},
};
constexpr std::array chain = {
    Asked{Point::chain_slack, useful},
    Asked{Point::axle_position, useful},
};
constexpr std::array clicks = {
    Asked{Point::clicks_compression_low, useful},
    Asked{Point::clicks_compression_high, useful},
    Asked{Point::clicks_rebound_low, useful},
    Asked{Point::clicks_rebound_high, useful},
};
constexpr std::array tyre = {
    Asked{Point::tyre, useful},
    Asked{Point::tyre_pressure_cold, useful},
};
constexpr std::array old_spring = {
    Asked{Point::spring_free_length, needed},
    Asked{Point::spring_installed_length, needed},
    Asked{Point::spring_rate, needed},
    Asked{Point::gas_force, useful},
};
// The installed length as found is needed for turns only; the length to set is answered without it.
constexpr std::array new_unit = {
    Asked{Point::travel, useful},
    Asked{Point::gas_force, useful},
    Asked{Point::spring_rate, needed},
    Asked{Point::spring_free_length, needed},
    Asked{Point::spring_block_length, useful},
    Asked{Point::spring_installed_length, useful},
    Asked{Point::collar_mm_per_turn, useful},
};

// Before, at the standing bike and then with the old unit on the bench. Everything not needed for the answer
// is kept for later work and may be left out: the answer is there after seven readings.
constexpr auto before_rear =
    joined(heights, chain, clicks,
           std::array{Asked{Point::sprocket_front, useful}, Asked{Point::sprocket_rear, useful},
                      Asked{Point::chain_links, useful}},
           tyre, std::array{Asked{Point::eye_to_eye, needed}}, old_spring);
constexpr auto before_front = joined(heights, std::array{Asked{Point::fork_position, needed}}, clicks, tyre,
                                     std::array{Asked{Point::fork_length, useful}}, old_spring);

constexpr auto new_shock =
    joined(std::array{Asked{Point::part_name, useful}, Asked{Point::eye_to_eye, needed},
                      Asked{Point::eye_to_eye_min, useful}, Asked{Point::eye_to_eye_max, useful},
                      Asked{Point::length_mm_per_turn, useful}},
           new_unit);
constexpr auto new_fork =
    joined(std::array{Asked{Point::part_name, useful}, Asked{Point::fork_length, useful},
                      Asked{Point::fork_position, useful}, Asked{Point::fork_position_min, useful},
                      Asked{Point::fork_position_max, useful}},
           new_unit);
// Travel is the old unit's; with it the margin to block length is known.
constexpr std::array new_spring = {
    Asked{Point::spring_rate, needed},
    Asked{Point::spring_free_length, needed},
    Asked{Point::spring_block_length, useful},
    Asked{Point::travel, useful},
    Asked{Point::spring_installed_length, useful},
    Asked{Point::collar_mm_per_turn, useful},
};

constexpr auto set_shock =
    joined(std::array{Asked{Point::eye_to_eye, needed}, Asked{Point::spring_installed_length, needed}}, chain,
           clicks);
constexpr auto set_shock_spring =
    joined(std::array{Asked{Point::spring_installed_length, needed}, Asked{Point::eye_to_eye, useful}}, chain,
           clicks);
constexpr auto set_fork = joined(
    std::array{Asked{Point::fork_position, needed}, Asked{Point::spring_installed_length, needed}}, clicks);
constexpr auto set_fork_springs = joined(
    std::array{Asked{Point::spring_installed_length, needed}, Asked{Point::fork_position, useful}}, clicks);

constexpr auto check_rear = joined(heights, std::array{Asked{Point::chain_slack, useful}});
constexpr auto check_front = heights;

std::span<const Asked> asked_new(SwapKind kind) {
    if (kind == SwapKind::shock) return new_shock;
    if (kind == SwapKind::fork) return new_fork;
    return new_spring;
}

std::span<const Asked> asked_set(SwapKind kind) {
    switch (kind) {
        case SwapKind::shock:
            return set_shock;
        case SwapKind::shock_spring:
            return set_shock_spring;
        case SwapKind::fork:
            return set_fork;
        case SwapKind::fork_springs:
            return set_fork_springs;
    }
    return {};
}

}  // namespace

End end_of(SwapKind kind) {
    return kind == SwapKind::shock || kind == SwapKind::shock_spring ? End::rear : End::front;
}

std::string_view key(SwapKind kind) {
    switch (kind) {
        case SwapKind::shock:
            return "shock";
        case SwapKind::shock_spring:
            return "shock_spring";
        case SwapKind::fork:
            return "fork";
        case SwapKind::fork_springs:
            return "fork_springs";
    }
    return "";
}

std::string_view key(Step6 step) {
    constexpr std::array<std::string_view, step_count> names = {"before", "new_part", "answer",
                                                                "set",    "check",    "keep"};
    return names[static_cast<std::size_t>(step)];
}

std::string_view key(Phase phase) {
    constexpr std::array<std::string_view, 4> names = {"before", "new_part", "set", "check"};
    return names[static_cast<std::size_t>(phase)];
}

std::span<const Asked> asked(SwapKind kind, Phase phase) {
    const bool rear = end_of(kind) == End::rear;
    switch (phase) {
        case Phase::before:
            return rear ? std::span<const Asked>(before_rear) : before_front;
        case Phase::new_part:
            return asked_new(kind);
        case Phase::set:
            return asked_set(kind);
        case Phase::check:
            return rear ? std::span<const Asked>(check_rear) : check_front;
    }
    return {};
}

const Take* Swap::take(Phase phase, Point point) const {
    const auto found = takes.find({phase, point});
    if (found == takes.end() || found->second.empty()) return nullptr;
    // The id decides between two of the same millisecond, so that every device shows the same one.
    const auto older = [](const Take& a, const Take& b) {
        return a.at_ms != b.at_ms ? a.at_ms < b.at_ms : a.entry < b.entry;
    };
    return &*std::max_element(found->second.begin(), found->second.end(), older);
}

std::vector<Point> missing(const Swap& swap, Phase phase) {
    std::vector<Point> points;
    for (const Asked& asked_for : asked(swap.kind, phase))
        if (asked_for.required && !swap.take(phase, asked_for.point)) points.push_back(asked_for.point);
    return points;
}

}  // namespace restand
