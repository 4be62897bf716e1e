#include "core/ledger/contradiction.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/ledger/fitted_unit.h"

namespace restand {
namespace {

struct Pair {
    Point small, large;
    Length allowed = mm(0.0);
};
constexpr Pair pairs[] = {{Point::spring_installed_length, Point::spring_free_length},
                          {Point::spring_block_length, Point::spring_free_length},
                          {Point::spring_block_length, Point::spring_installed_length},
                          {Point::helper_block_length, Point::helper_free_length},
                          {Point::eye_to_eye_min, Point::eye_to_eye},
                          {Point::eye_to_eye, Point::eye_to_eye_max},
                          {Point::eye_to_eye_min, Point::eye_to_eye_max},
                          {Point::fork_position_min, Point::fork_position},
                          {Point::fork_position, Point::fork_position_max},
                          {Point::fork_position_min, Point::fork_position_max},
                          {Point::ride_height_static, Point::ride_height_topped_out, height_slack},
                          {Point::ride_height_rider, Point::ride_height_static, height_slack},
                          {Point::ride_height_rider, Point::ride_height_topped_out, height_slack}};

std::optional<double> value_in(const ReadingOf& read, Point point) {
    const Reading* reading = read(point);
    return reading ? std::optional(measured(*reading).value) : std::nullopt;
}

// With a helper on it the installed length is that of both, the block length that of the main spring alone.
std::optional<Pair> comparable(const Pair& pair, bool helper) {
    if (helper && pair.small == Point::spring_block_length && pair.large == Point::spring_installed_length)
        return std::nullopt;
    return pair;
}

}  // namespace

std::optional<OutOfOrder> out_of_order(Point typed, const ReadingOf& read) {
    const auto helper = value_in(read, Point::helper_free_length);
    for (const Pair& one : pairs) {
        const auto pair = comparable(one, helper.has_value());
        if (!pair || (typed != pair->small && typed != pair->large)) continue;
        const auto small = value_in(read, pair->small), large = value_in(read, pair->large);
        if (!small || !large) continue;
        const double besides = pair->small == Point::spring_installed_length ? helper.value_or(0.0) : 0.0;
        if (*small > *large + besides + in_mm(pair->allowed))
            return OutOfOrder{pair->small, pair->large, mm(*small), mm(*large + besides)};
    }
    return std::nullopt;
}

std::optional<Length> preload_by_lengths(const ReadingOf& read) {
    if (!read(Point::spring_free_length) || !read(Point::spring_installed_length)) return std::nullopt;
    return preload_of([&](Point point) { return value_in(read, point); });
}

namespace {
struct Said {
    double mm, expanded;
};
// The preload itself, else the collar's turns; nullopt: read in neither way.
std::optional<Said> preload_said(const ReadingOf& read) {
    if (const Reading* preload = read(Point::spring_preload)) {
        const Measured m = measured(*preload);
        return Said{m.value, expanded_95(m)};
    }
    const Reading *turns = read(Point::preload_turns), *pitch = read(Point::collar_mm_per_turn);
    if (!turns || !pitch) return std::nullopt;
    const Measured n = measured(*turns), p = measured(*pitch);
    return Said{n.value * p.value, std::hypot(expanded_95(n) * p.value, expanded_95(p) * n.value)};
}
}  // namespace

std::optional<TwoPreloads> two_preloads(Point typed, const ReadingOf& read) {
    constexpr std::array lengths = {Point::spring_free_length, Point::helper_free_length,
                                    Point::spring_installed_length};
    constexpr std::array said_by = {Point::spring_preload, Point::preload_turns, Point::collar_mm_per_turn};
    const auto among = [typed](const auto& points) {
        return std::find(points.begin(), points.end(), typed) != points.end();
    };
    if (!among(lengths) && !among(said_by)) return std::nullopt;
    const auto by_lengths = preload_by_lengths(read);
    const auto said = preload_said(read);
    if (!by_lengths || !said) return std::nullopt;
    double sum = said->expanded * said->expanded;
    for (const Point point : lengths)
        if (const Reading* reading = read(point)) {
            const double expanded = expanded_95(measured(*reading));
            sum += expanded * expanded;
        }
    if (abs(*by_lengths - mm(said->mm)) <= mm(std::sqrt(sum))) return std::nullopt;
    return TwoPreloads{*by_lengths, mm(said->mm)};
}

ReadingOf readings_in(const Swap& swap, Phase phase, End end) {
    return [&swap, phase, end](Point point) -> const Reading* {
        const bool of_the_part = phase == Phase::set && !is_of_preload(point);
        const StoredReading* stored = swap.stored({of_the_part ? Phase::new_part : phase, end, point});
        return stored ? &stored->reading : nullptr;
    };
}

}  // namespace restand
