#include "core/ledger/fitted_unit.h"

namespace restand {
namespace {

std::optional<Length> length_at(const NumberAt& at, Point point) {
    const auto v = at(point);
    return v ? std::optional(mm(*v)) : std::nullopt;
}

std::optional<Rate> rate_at(const NumberAt& at, Point point) {
    const auto v = at(point);
    return v ? std::optional(newton_per_mm(*v)) : std::nullopt;
}

// In series with the main spring. All three numbers, or it is left out.
std::optional<Spring> helper_of(const NumberAt& at) {
    const auto k = rate_at(at, Point::helper_rate);
    const auto free = length_at(at, Point::helper_free_length),
               block = length_at(at, Point::helper_block_length);
    if (!k || !free || !block || *block >= *free) return std::nullopt;
    return Spring{*k, *free, *block};
}

// A fork's second leg, where its spring has another rate; preloaded as the first.
std::optional<Leg> other_leg_of(const SuspensionUnit& unit, const NumberAt& at) {
    const auto k = rate_at(at, Point::other_leg_rate);
    if (!k) return std::nullopt;
    Leg leg{unit.spring, {}};
    leg.spring.rate = *k;
    if (unit.helper) leg.installed_more = -unit.helper->free_length;
    return leg;
}

// A spring whose rate rises evenly between two deflections, as chords of its force: with sixteen of them the
// force is off by no more than (end rate − rate)·(to − from)/2048. All its numbers, or it has one rate.
std::vector<SpringPoint> progressive(const SuspensionUnit& unit, const NumberAt& at) {
    const auto stiff = rate_at(at, Point::end_rate);
    const auto from = length_at(at, Point::rate_rises_from), to = length_at(at, Point::rate_rises_to);
    const Rate soft = unit.spring.rate;
    if (!stiff || !from || !to || unit.helper || *to <= *from || soft.value <= 0 || *stiff <= soft) return {};
    const Length beyond = mm(10), rises = *to - *from;
    std::vector<SpringPoint> table;  // it begins at no force beyond no deflection
    if (*from > mm(0)) table.push_back({*from, soft * *from});
    constexpr int chords = 16;
    for (int i = 1; i <= chords; ++i) {
        const double share = static_cast<double>(i) / chords;
        const Length in = rises * share;
        table.push_back({*from + in, soft * (*from + in) + (*stiff - soft) * in * (0.5 * share)});
    }
    table.push_back({*to + beyond, table.back().force + *stiff * beyond});
    return table;
}

// The rubber's force rises from where it begins, over its whole stroke at one rate.
std::vector<BumpPoint> bump_of(const NumberAt& at) {
    const auto from = length_at(at, Point::bump_travel);
    const auto k = rate_at(at, Point::bump_rate);
    constexpr Length stroke = mm(100.0);
    if (!from || !k) return {};
    return {{*from, newton(0)}, {*from + stroke, *k * stroke}};
}

}  // namespace

std::optional<Length> preload_of(const NumberAt& at) {
    const auto free = length_at(at, Point::spring_free_length),
               installed = length_at(at, Point::spring_installed_length);
    const auto helper = helper_of(at);
    if (free && installed) return *free + (helper ? helper->free_length : mm(0)) - *installed;
    if (const auto read = length_at(at, Point::spring_preload)) return read;
    const auto turns = at(Point::preload_turns), pitch = at(Point::collar_mm_per_turn);
    return turns && pitch ? std::optional(mm(*turns * *pitch)) : std::nullopt;
}

bool is_of_preload(Point point) {
    return point == Point::spring_installed_length || point == Point::spring_preload ||
           point == Point::preload_turns;
}

SuspensionUnit fitted_unit(End end, const NumberAt& at) {
    const auto free = length_at(at, Point::spring_free_length),
               installed = length_at(at, Point::spring_installed_length);
    const auto preload = preload_of(at);
    SuspensionUnit unit;
    unit.legs = end == End::rear ? 1 : 2;
    unit.spring.rate = newton_per_mm(at(Point::spring_rate).value_or(0.0));
    unit.helper = helper_of(at);
    const Length besides = unit.helper ? unit.helper->free_length : mm(0);
    unit.spring.free_length =
        free.value_or(installed && preload ? *installed + *preload - besides : usual_free_length);
    // Without the free length an installed one says nothing of the force.
    unit.installed_length =
        free && installed ? *installed : unit.spring.free_length + besides - preload.value_or(mm(0));
    if (free || (installed && preload)) unit.spring.block_length = length_at(at, Point::spring_block_length);
    unit.gas.topped_out = newton(at(Point::gas_force).value_or(0.0));
    unit.travel = length_at(at, Point::travel);
    if (end == End::front) unit.other_leg = other_leg_of(unit, at);
    unit.spring.table = progressive(unit, at);
    unit.bump = bump_of(at);
    const auto top_out = rate_at(at, Point::top_out_rate);
    const auto reach = length_at(at, Point::top_out_reach);
    if (top_out && reach) unit.top_out = TopOutSpring{*top_out, *reach};
    return unit;
}

std::optional<Gas::Chamber> reservoir(const NumberAt& at) {
    const auto rod = length_at(at, Point::rod_diameter);
    const auto volume = at(Point::gas_volume);
    if (!rod || !volume) return std::nullopt;
    return Gas::Chamber{(*rod * *rod) * (pi / 4.0), Volume{*volume}, 1.0};
}

std::optional<Gas::Chamber> fork_air(const NumberAt& at) {
    const auto level = length_at(at, Point::fork_oil_level), bore = length_at(at, Point::fork_bore),
               travel = length_at(at, Point::travel);
    if (!level || !bore || !travel) return std::nullopt;
    const double legs = 2.0;
    const Volume volume = air_volume({*bore, *level, *travel, {}});
    return Gas::Chamber{(*bore * *bore) * (legs * pi / 4.0), volume * legs, 1.0};
}

}  // namespace restand
