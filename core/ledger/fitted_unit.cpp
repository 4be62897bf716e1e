#include "core/ledger/fitted_unit.h"

namespace restand {
namespace {

std::optional<Length> length(const NumberAt& at, Point point) {
    const auto v = at(point);
    return v ? std::optional(mm(*v)) : std::nullopt;
}

}  // namespace

std::optional<Length> preload_of(const NumberAt& at) {
    const auto free = length(at, Point::spring_free_length),
               installed = length(at, Point::spring_installed_length);
    if (free && installed) return *free - *installed;
    if (const auto read = length(at, Point::spring_preload)) return read;
    const auto turns = at(Point::preload_turns), pitch = at(Point::collar_mm_per_turn);
    return turns && pitch ? std::optional(mm(*turns * *pitch)) : std::nullopt;
}

bool is_of_preload(Point point) {
    return point == Point::spring_installed_length || point == Point::spring_preload ||
           point == Point::preload_turns;
}

SuspensionUnit fitted_unit(End end, const NumberAt& at) {
    const auto free = length(at, Point::spring_free_length),
               installed = length(at, Point::spring_installed_length);
    const auto preload = preload_of(at);
    SuspensionUnit unit;
    unit.legs = end == End::rear ? 1 : 2;
    unit.spring.rate = newton_per_mm(at(Point::spring_rate).value_or(0.0));
    unit.spring.free_length = free.value_or(installed && preload ? *installed + *preload : usual_free_length);
    // Without the free length an installed one says nothing of the force.
    unit.installed_length =
        free && installed ? *installed : unit.spring.free_length - preload.value_or(mm(0));
    if (free || (installed && preload)) unit.spring.block_length = length(at, Point::spring_block_length);
    unit.gas.topped_out = newton(at(Point::gas_force).value_or(0.0));
    unit.travel = length(at, Point::travel);
    return unit;
}

std::optional<Gas::Chamber> fork_air(const NumberAt& at) {
    const auto level = length(at, Point::fork_oil_level), bore = length(at, Point::fork_bore),
               travel = length(at, Point::travel);
    if (!level || !bore || !travel) return std::nullopt;
    const double legs = 2.0;
    const Volume volume = air_volume({*bore, *level, *travel, {}});
    return Gas::Chamber{(*bore * *bore) * (legs * pi / 4.0), volume * legs, 1.0};
}

}  // namespace restand
