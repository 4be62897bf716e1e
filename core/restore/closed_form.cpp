#include "core/restore/closed_form.h"

namespace restand {

Result<ClosedForm> closed_form(const SwapCase& swap, std::optional<Length> length) {
    const SuspensionUnit& old_unit = swap.before.unit;
    const std::optional<Length> height = swap.before.rider ? swap.before.rider : swap.before.static_;
    if (!height)
        return Error{ErrorCode::missing, "baseline.ride_height_mm.rider", "rider or static ride height"};
    const Result<HeightMap> map = swap.map.anchored(old_unit.length, swap.before.topped_out);
    if (!map) return map.error();
    const Result<Length> stood = map->length_at(*height);
    if (!stood) return stood.error();

    // Both units stand at the same length and the same leverage, so the leverage cancels out.
    const Length old_deflection =
        old_unit.spring.free_length - old_unit.installed_length + old_unit.length - *stood;
    const Force old_force =
        double(old_unit.legs) * (old_unit.spring.rate * old_deflection) + old_unit.gas.topped_out;
    const Length new_length = length.value_or(old_unit.length);
    const Rate new_rate = swap.new_unit.spring.rate * double(swap.new_unit.legs);
    const Force by_spring = old_force * swap.load_scale - swap.new_unit.gas.topped_out;
    return ClosedForm{new_length, by_spring / new_rate - (new_length - *stood)};
}

}  // namespace restand
