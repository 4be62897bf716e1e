#include "core/ledger/load_change.h"

#include <cmath>

#include "core/ledger/map_of.h"
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

const StoredReading* read_at_check(const SwapInputs& in, Point point) {
    return read_at(in.swap(), in.end, Phase::check, point);
}

// Where the swap read no height before, the load of the bike as it stood goes with its heights.
const StoredReading* read_before(const SwapInputs& in, Point point) {
    return in.height_read() ? read_at(in.swap(), in.end, Phase::before, point)
                            : stored_at(in.site, in.end, Phase::before, point);
}

std::optional<MassChange> mass_change(const SwapInputs& in, Point point) {
    const StoredReading *before = read_before(in, point), *after = read_at_check(in, point);
    if (!before || !after) return std::nullopt;
    const Measured was = measured(before->reading), is = measured(after->reading);
    return MassChange{is.value - was.value, std::hypot(was.u, is.u)};
}

// Newtons along the map for 1 kg on this wheel.
double weight_of_kilogram(const SwapInputs& in) {
    return standard_gravity * upright_rise(in.site.bike, in.end);
}

void add_mass_change(const SwapInputs& in, LoadChange& out, State state, const MassChange& mass,
                     Share share) {
    const auto i = static_cast<std::size_t>(state);
    const double carried = in.rear() ? share.rear : 1.0 - share.rear, g = weight_of_kilogram(in);
    out.by[i] += newton(g * mass.by * carried);
    out.u[i] =
        newton(std::hypot(out.u[i].value, g * mass.u * carried, g * mass.by * share.half / std::sqrt(3.0)));
}

void add_scales(const SwapInputs& in, LoadChange& out) {
    const auto weight = mass_change(in, Point::wheel_weight);
    if (!weight) return;
    out.scales = kilogram(weight->by);
    const auto parts = load_of_parts(in, in.values);
    for (const State state : {State::static_, State::rider}) {
        const auto i = static_cast<std::size_t>(state);
        out.by[i] = newton(weight_of_kilogram(in) * weight->by) - parts[i];
        out.u[i] = newton(weight_of_kilogram(in) * weight->u);
    }
}

// What the gas acts on: a damper's rod, both tubes of a fork. Without the fork's bore nobody knows.
std::optional<Area> gas_area(const SwapInputs& in) {
    const auto read = [&in](Point point) {
        const auto fresh = in.values.maybe(Phase::new_part, point);
        return fresh ? fresh : in.values.maybe(Phase::before, point);
    };
    if (in.rear()) {
        const Length rod = read(Point::rod_diameter).value_or(usual_rod);
        return (rod * rod) * (pi / 4.0);
    }
    const auto bore = read(Point::fork_bore);
    return bore ? std::optional((*bore * *bore) * (2.0 * pi / 4.0)) : std::nullopt;
}

void add_damper(const SwapInputs& in, LoadChange& out) {
    const StoredReading *before = read_before(in, Point::damper_temperature),
                        *after = read_at_check(in, Point::damper_temperature);
    const auto area = gas_area(in);
    if (!before || !after || !area) return;
    const Measured was = measured(before->reading), is = measured(after->reading);
    out.damper = GasTemperatures{was.value, is.value, *area};
    out.damper_u = std::hypot(was.u, is.u);
}

}  // namespace

std::array<Force, 3> load_of_parts(const SwapInputs& in, const CaseValues& values) {
    if (!swaps_load(in.swap())) return {};
    const double wheelbase = in_mm(in.site.bike.geometry.wheelbase.value_or(usual_wheelbase));
    const auto carried = [&](Phase phase) {
        const double rear = 1.0 - in_mm(values.length(phase, Point::fitted_mass_ahead)) / wheelbase;
        return values.get(phase, Point::fitted_mass).value_or(0.0) * (in.rear() ? rear : 1.0 - rear);
    };
    const Force more = newton(weight_of_kilogram(in) * (carried(Phase::new_part) - carried(Phase::before)));
    return {newton(0), more, more};
}

LoadChange load_change(const SwapInputs& in) {
    LoadChange out;
    add_scales(in, out);
    if (const auto fuel = mass_change(in, Point::fuel); fuel && !out.scales) {
        out.fuel = kilogram(fuel->by);
        for (const State state : {State::static_, State::rider})
            add_mass_change(in, out, state, *fuel, of_fuel);
    }
    if (const auto rider = mass_change(in, Point::rider_mass)) {
        out.rider = kilogram(rider->by);
        add_mass_change(in, out, State::rider, *rider, of_rider);
    }
    add_damper(in, out);
    return out;
}

}  // namespace restand
