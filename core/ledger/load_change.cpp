#include "core/ledger/load_change.h"

#include <cmath>

#include "core/machine/bike.h"

namespace restand {
namespace {

struct Share {
    double rear, half;
};
constexpr Share of_fuel{0.45, 0.1}, of_rider{0.6, 0.1};
constexpr Length usual_wheelbase = mm(1400.0), usual_rod = mm(14.0);

struct MassChange {
    double by, u;
};

const StoredReading* newer(const StoredReading* a, const StoredReading* b) {
    return !b || (a && b->at < a->at) ? a : b;
}

const StoredReading* read_at(const SwapInputs& in, Phase phase, Point point) {
    if (!is_of_bike(point)) return in.swap().stored({phase, in.end, point});
    return newer(in.swap().stored({phase, End::rear, point}), in.swap().stored({phase, End::front, point}));
}

// Where the swap read no height before, the load of the bike as it stood goes with its heights.
const StoredReading* read_before(const SwapInputs& in, Point point) {
    if (const StoredReading* own = read_at(in, Phase::before, point)) return own;
    for (const Point height : ride_heights)
        if (in.swap().stored({Phase::before, in.end, height})) return nullptr;
    if (!is_of_bike(point)) return stored_at(in.site, in.end, Phase::before, point);
    return newer(stored_at(in.site, End::rear, Phase::before, point),
                 stored_at(in.site, End::front, Phase::before, point));
}

std::optional<MassChange> mass_change(const SwapInputs& in, Point point) {
    const StoredReading *before = read_before(in, point), *after = read_at(in, Phase::check, point);
    if (!before || !after) return std::nullopt;
    const Measured was = measured(before->reading), is = measured(after->reading);
    return MassChange{is.value - was.value, std::hypot(was.u, is.u)};
}

void add(LoadChange& out, State state, const MassChange& mass, Share share, End end) {
    const auto i = static_cast<std::size_t>(state);
    const double carried = end == End::rear ? share.rear : 1.0 - share.rear;
    out.by[i] += newton(standard_gravity * mass.by * carried);
    out.u[i] = newton(std::hypot(out.u[i].value, standard_gravity * mass.u * carried,
                                 standard_gravity * mass.by * share.half / std::sqrt(3.0)));
}

void add_scales(const SwapInputs& in, LoadChange& out) {
    const auto weight = mass_change(in, Point::wheel_weight);
    if (!weight) return;
    out.scales = kilogram(weight->by);
    const auto parts = load_of_parts(in, in.values);
    for (const State state : {State::static_, State::rider}) {
        const auto i = static_cast<std::size_t>(state);
        out.by[i] = newton(standard_gravity * weight->by) - parts[i];
        out.u[i] = newton(standard_gravity * weight->u);
    }
}

std::optional<GasTemperatures> damper_change(const SwapInputs& in) {
    const StoredReading *before = read_before(in, Point::damper_temperature),
                        *after = read_at(in, Phase::check, Point::damper_temperature);
    if (!before || !after) return std::nullopt;
    const auto read = in.values.maybe(Phase::new_part, Point::rod_diameter);
    const Length rod = read.value_or(in.values.maybe(Phase::before, Point::rod_diameter).value_or(usual_rod));
    return GasTemperatures{measured(before->reading).value, measured(after->reading).value,
                           (rod * rod) * (pi / 4.0)};
}

}  // namespace

std::array<Force, 3> load_of_parts(const SwapInputs& in, const CaseValues& values) {
    if (!swaps_load(in.swap())) return {};
    const double wheelbase = in_mm(in.site.bike.geometry.wheelbase.value_or(usual_wheelbase));
    const auto carried = [&](Phase phase) {
        const double rear = 1.0 - in_mm(values.length(phase, Point::fitted_mass_ahead)) / wheelbase;
        return values.get(phase, Point::fitted_mass).value_or(0.0) * (in.rear() ? rear : 1.0 - rear);
    };
    const Force more = newton(standard_gravity * (carried(Phase::new_part) - carried(Phase::before)));
    return {newton(0), more, more};
}

LoadChange load_change(const SwapInputs& in) {
    LoadChange out;
    add_scales(in, out);
    if (const auto fuel = mass_change(in, Point::fuel); fuel && !out.scales) {
        out.fuel = kilogram(fuel->by);
        for (const State state : {State::static_, State::rider}) add(out, state, *fuel, of_fuel, in.end);
    }
    if (const auto rider = mass_change(in, Point::rider_mass)) {
        out.rider = kilogram(rider->by);
        add(out, State::rider, *rider, of_rider, in.end);
    }
    out.damper = damper_change(in);
    return out;
}

}  // namespace restand
