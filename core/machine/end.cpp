#include "core/machine/end.h"

#include <algorithm>
#include <cmath>

#include "core/machine/unit_terms.h"

namespace restand {
namespace {

Error no_standing(const char* why) {
    return Error{ErrorCode::no_solution, "end", why};
}

struct WheelLoad {
    double load, rate;  // wheel load, wheel rate
    MapPoint map;
};

// Wheel load and wheel rate at one travel. Requires that the travel is on the map.
WheelLoad wheel_load_at(const EndModel& end, double travel) {
    const MapPoint map = end.map.at(end.unit.length - mm(travel)).value();
    const UnitTerms unit = unit_terms(end.unit, travel, false);
    const double i = 1.0 / map.leverage;
    // −di/dh = h''·i³: change of the motion ratio as the end compresses
    return {unit.force * i, unit.d_travel * i * i + unit.force * map.curvature * i * i * i, map};
}

Result<Standing> standing_at_travel(const EndModel& end, double travel, bool topped_out) {
    const WheelLoad here = wheel_load_at(end, travel);
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

// Range of travel to search: limited by the map, by the unit's travel and by its gas.
struct TravelSpan {
    double low, high;
    bool map_ends_it;
};

TravelSpan travel_span(const EndModel& end) {
    const auto [shortest, longest] = end.map.length_range();
    const double l = end.unit.length.value;
    double high = end.unit.travel ? end.unit.travel->value : 0.999 * l;  // less than its own length
    high = std::min(high, 0.999 * gas_travel_end(end.unit.gas));
    const double map_end = l - shortest.value;
    return {std::max(0.0, l - longest.value), std::min(high, map_end), map_end < high};
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
    if (!is_finite(load)) return Error{ErrorCode::not_a_number, "end", "load"};
    const TravelSpan span = travel_span(end);
    if (!(span.low <= span.high)) return no_standing("off the map");
    const double wanted = load.value;
    const WheelLoad top = wheel_load_at(end, span.low);
    if (wanted <= top.load) {
        if (span.low > 0.0) return no_standing("off the map");
        // The top-out stop carries the rest of the unit force.
        Result<Standing> held = standing_at_travel(end, 0.0, true);
        if (held) held->load = load;
        return held;
    }
    // W(x) rises. Newton inside a bracket; bisection if a step would leave it (bump rubber has corners).
    double low = span.low, high = span.high;
    if (wanted > wheel_load_at(end, high).load) {
        // Far outside the real travel a linkage approaches a dead point, where the load falls again. So
        // search the first part of the range in which the load is reached.
        constexpr int parts = 64;
        const double part = (high - low) / parts;
        for (int i = 1; i <= parts && wanted > wheel_load_at(end, span.low + i * part).load; ++i)
            low = span.low + i * part;
        if (low >= span.high - 0.5 * part)
            return no_standing(span.map_ends_it ? "off the map" : "travel exhausted");
        high = low + part;
    }
    double x = std::clamp(low + (wanted - top.load) / std::max(top.rate * top.map.leverage, 1e-6), low, high);
    for (int i = 0; i < 100; ++i) {
        const WheelLoad here = wheel_load_at(end, x);
        const double miss = here.load - wanted;
        // dW/dx = wheel rate · dh/dl
        const double newton_step = x - miss / (here.rate * here.map.leverage);
        if (std::fabs(newton_step - x) < 1e-12 * end.unit.length.value)
            return standing_at_travel(end, std::clamp(newton_step, span.low, span.high), false);
        (miss > 0.0 ? high : low) = x;
        x = newton_step > low && newton_step < high ? newton_step : 0.5 * (low + high);
    }
    return standing_at_travel(end, x, false);
}

}  // namespace restand
