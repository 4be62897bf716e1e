#include "core/machine/end.h"

#include <algorithm>
#include <cmath>

#include "core/machine/unit_terms.h"

namespace restand {
namespace {

Error no_standing(const char* why) {
    return Error{ErrorCode::no_solution, "end", why};
}

// Wheel load and wheel rate at one travel. Requires that the travel is on the map.
WheelLoad wheel_load_at(const EndModel& end, double travel) {
    const MapPoint map = end.map.at(end.unit.length - mm(travel)).value();
    const UnitTerms unit = unit_terms(end.unit, travel, false);
    const double i = 1.0 / map.leverage;
    // −di/dh = h''·i³: change of the motion ratio as the end compresses
    return {unit.force * i, unit.d_travel * i * i + unit.force * map.curvature * i * i * i, map};
}

Result<Standing> standing_with(const EndModel& end, const WheelLoad& here, double travel, bool topped_out) {
    // If the wheel force falls with compression, the equilibrium is unstable: the end would collapse further.
    // A loose spring carries nothing, so there the rate may be 0.
    const bool loaded = travel + preload(end.unit).value > 0.0;
    if (!topped_out && loaded && !(here.rate > 0.0))
        return no_standing("wheel rate not above 0: check the map");
    return Standing{.length = end.unit.length - mm(travel),
                    .travel = mm(travel),
                    .height = here.map.height,
                    .load = newton(here.load),
                    .leverage = here.map.leverage,
                    .wheel_rate = newton_per_mm(here.rate),
                    .topped_out = topped_out};
}

Result<Standing> standing_at_travel(const EndModel& end, double travel, bool topped_out) {
    return standing_with(end, wheel_load_at(end, travel), travel, topped_out);
}

}  // namespace

Result<Standing> standing_at(const EndModel& end, Length height, Length slack) {
    if (!end.map.covers(end.unit.length)) return no_standing("off the map");
    const double over = (height - end.map.at(end.unit.length)->height).value;
    if (over > slack.value) return Error{ErrorCode::contradiction, "end", "ride height above topped out"};
    // Topped out: any load up to F(0)·i(0) is possible. Return F(0)·i(0).
    if (over >= 0.0) return standing_at_travel(end, 0.0, true);
    const Result<Length> length = end.map.length_at(height);
    if (!length) return length.error();
    const double travel = std::max(0.0, (end.unit.length - *length).value);
    if (end.unit.travel && travel > end.unit.travel->value + 1e-9) return no_standing("travel exhausted");
    if (travel >= gas_travel_end(end.unit.gas)) return no_standing("travel exhausted");
    return standing_at_travel(end, travel, false);
}

Result<Standing> standing_under(const EndModel& end, Force load) {
    return LoadedEnd(end).under(load);
}

LoadedEnd::LoadedEnd(const EndModel& end) : end_(end) {
    const auto [shortest, longest] = end.map.length_range();
    const double l = end.unit.length.value, map_end = l - shortest.value;
    const double travel = end.unit.travel ? end.unit.travel->value : 0.999 * l;  // less than its own length
    const double unit_end = std::min(travel, 0.999 * gas_travel_end(end.unit.gas));
    low_ = std::max(0.0, l - longest.value);
    high_ = std::min(unit_end, map_end);
    map_ends_it_ = map_end < unit_end;
    if (!(low_ <= high_)) return;
    top_ = wheel_load_at(end, low_);
    last_ = wheel_load_at(end, high_);
}

Result<Standing> LoadedEnd::under(Force load, std::optional<Length> near) const {
    if (!is_finite(load)) return Error{ErrorCode::not_a_number, "end", "load"};
    if (!top_) return no_standing("off the map");
    const double wanted = load.value;
    if (wanted <= top_->load) {
        if (low_ > 0.0) return no_standing("off the map");
        // The top-out stop carries the rest of the unit force.
        Result<Standing> held = standing_with(end_, *top_, 0.0, true);
        if (held) held->load = load;
        return held;
    }
    // W(x) rises. Newton inside a bracket; bisection if a step would leave it (bump rubber has corners).
    double low = low_, high = high_;
    if (wanted > last_->load) {
        // Far outside the real travel a linkage approaches a dead point, where the load falls again. So
        // search the first part of the range in which the load is reached.
        constexpr int parts = 64;
        const double part = (high - low) / parts;
        for (int i = 1; i <= parts && wanted > wheel_load_at(end_, low_ + i * part).load; ++i)
            low = low_ + i * part;
        if (low >= high_ - 0.5 * part) return no_standing(map_ends_it_ ? "off the map" : "travel exhausted");
        high = low + part;
    }
    const double by_slope = low + (wanted - top_->load) / std::max(top_->rate * top_->map.leverage, 1e-6);
    double x = std::clamp(near ? (end_.unit.length - *near).value : by_slope, low, high);
    for (int i = 0; i < 100; ++i) {
        const WheelLoad here = wheel_load_at(end_, x);
        const double miss = here.load - wanted;
        // dW/dx = wheel rate · dh/dl
        const double newton_step = x - miss / (here.rate * here.map.leverage);
        if (std::fabs(newton_step - x) < 1e-12 * end_.unit.length.value)
            return standing_at_travel(end_, std::clamp(newton_step, low_, high_), false);
        (miss > 0.0 ? high : low) = x;
        x = newton_step > low && newton_step < high ? newton_step : 0.5 * (low + high);
    }
    return standing_at_travel(end_, x, false);
}

}  // namespace restand
