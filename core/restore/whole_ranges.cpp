#include "core/restore/whole_ranges.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>
#include <utility>

namespace restand {
namespace {

// The range in which an adjustable is meaningful; teeth and links as in chain.h.
std::pair<double, double> sense_of(Adjustable adjustable) {
    switch (adjustable) {
        case Adjustable::fork_position:
            return {-200, 500};
        case Adjustable::arm:
            return {200, 1000};
        case Adjustable::rear_radius:
        case Adjustable::front_radius:
            return {100, 500};
        case Adjustable::front_teeth:
        case Adjustable::rear_teeth:
            return {8, 80};
        case Adjustable::links:
            return {60, 200};
        default:
            return {10, 1500};
    }
}

Outcome in_sense(const WholeBike& bike, const WholeAdjuster& a, const std::string& subject) {
    const auto [low, high] = sense_of(a.what);
    const double is = value(bike, a.what);
    const auto outside = [&, least = low - 1e-9, most = high + 1e-9](double read) {
        return !(is + read - a.now >= least && is + read - a.now <= most);
    };
    const bool endless = std::isinf(a.min) || std::isinf(a.max);
    if (endless || outside(a.min) || outside(a.max)) {
        char told[96];
        std::snprintf(told, sizeof told, "min and max; %g to %g", low - is + a.now, high - is + a.now);
        return Error{ErrorCode::out_of_range, subject, told};
    }
    const auto whole_number = [](double v) { return v == std::floor(v); };
    if (is_counted(a.what) && !(whole_number(a.detent) && whole_number(a.now)))
        return Error{ErrorCode::out_of_range, subject, "whole numbers"};
    return Done{};
}

}  // namespace

Outcome validate(const WholeCase& whole) {
    const auto refuse = [](const std::string& subject, const char* range) {
        return Error{ErrorCode::out_of_range, subject, range};
    };
    if (whole.targets.empty()) return Error{ErrorCode::missing, "targets", "at least one"};
    if (whole.targets.size() > most_targets) return refuse("targets", "at most 24");
    if (whole.adjusters.size() > most_unknowns) return refuse("adjusters", "at most 6");
    if (whole.adjusters.empty()) return Error{ErrorCode::missing, "adjusters", "at least one"};
    for (std::size_t i = 0; i < whole.adjusters.size(); ++i) {
        const WholeAdjuster& a = whole.adjusters[i];
        const std::string subject =
            "adjusters[" + std::to_string(i + 1) + "] (" + std::string(key(a.what)) + ")";
        if (!(a.min <= a.now && a.now <= a.max)) return refuse(subject, "min <= now <= max");
        if (!(a.detent >= 0.0)) return refuse(subject + ".detent", "x >= 0");
        for (std::size_t j = 0; j < i; ++j)
            if (whole.adjusters[j].what == a.what)
                return Error{ErrorCode::contradiction, subject, "given twice"};
        if (is_counted(a.what) && !whole.bike.chain)
            return Error{ErrorCode::missing, "bike.chain", "an adjuster moves it"};
        if (const auto sound = in_sense(whole.bike, a, subject); !sound) return sound.error();
        if (a.what == Adjustable::rod && !whole.bike.linkage.rocker)
            return Error{ErrorCode::contradiction, subject, "; this linkage has no rod"};
    }
    for (std::size_t j = 0; j < whole.targets.size(); ++j) {
        const Target& t = whole.targets[j];
        if (!(tolerance_of(t) > 0.0))
            return refuse("targets[" + std::to_string(j + 1) + "].tolerance", "x > 0");
        if (!(t.weight >= 0.0)) return refuse("targets[" + std::to_string(j + 1) + "].weight", "x >= 0");
    }
    return Done{};
}

// Inside the returned range the spring is not loose and its coils do not touch.
AdjusterEnds ends_of(const WholeBike& bike, const WholeAdjuster& a) {
    AdjusterEnds ends{a.min, a.max};
    const bool shock = a.what == Adjustable::shock_installed;
    if (!shock && a.what != Adjustable::fork_installed) return ends;
    const SuspensionUnit& unit = shock ? bike.shock : bike.fork;
    if (const double loose = a.now + least_preload(unit).value; loose < ends.high) {
        ends.high = std::max(loose, a.min);
        ends.high_why = EndWhy::no_preload;
    }
    if (const auto margin = block_margin(unit)) {
        const double touch = a.now - margin->value;
        if (touch > ends.low) ends.low = std::min(touch, ends.high), ends.low_why = EndWhy::coils_touch;
    }
    return ends;
}

std::vector<AdjusterEnds> endless(std::size_t count) {
    constexpr double inf = std::numeric_limits<double>::infinity();
    return std::vector<AdjusterEnds>(count, {-inf, inf});
}

std::string_view key(EndWhy why) {
    constexpr std::string_view keys[] = {"range", "no_preload", "coils_touch"};
    return keys[static_cast<int>(why)];
}

}  // namespace restand
