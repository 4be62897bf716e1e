#include "core/ledger/load_change.h"

#include <cmath>

#include "core/machine/bike.h"

namespace restand {
namespace {

struct Share {
    double rear, half;
};
constexpr Share of_fuel{0.45, 0.1}, of_rider{0.6, 0.1};

struct MassChange {
    double by, u;
};

const StoredReading* newer(const StoredReading* a, const StoredReading* b) {
    return !b || (a && b->at < a->at) ? a : b;
}

const StoredReading* read_at(const SwapInputs& in, Phase phase, Point point) {
    return newer(in.swap().stored({phase, End::rear, point}), in.swap().stored({phase, End::front, point}));
}

// Where the swap read no height before, the load of the bike as it stood goes with its heights.
const StoredReading* read_before(const SwapInputs& in, Point point) {
    if (const StoredReading* own = read_at(in, Phase::before, point)) return own;
    for (const Point height : ride_heights)
        if (in.swap().stored({Phase::before, in.end, height})) return nullptr;
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

}  // namespace

LoadChange load_change(const SwapInputs& in) {
    LoadChange out;
    if (const auto fuel = mass_change(in, Point::fuel)) {
        out.fuel = kilogram(fuel->by);
        for (const State state : {State::static_, State::rider}) add(out, state, *fuel, of_fuel, in.end);
    }
    if (const auto rider = mass_change(in, Point::rider_mass)) {
        out.rider = kilogram(rider->by);
        add(out, State::rider, *rider, of_rider, in.end);
    }
    return out;
}

}  // namespace restand
