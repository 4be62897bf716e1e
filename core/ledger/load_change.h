#pragma once
// What an end carries otherwise: with another tank, bodywork or ballast after a swap, and at the check than
// before the swap. Inside core/ledger only.
//
//   change of wheel load = g·Σ share·Δmass         rider: with the rider on only
//   share of tank and bodywork at the rear wheel = 1 − (ahead of the rear axle)/wheelbase
//   at the check, scales under the wheel say it themselves: g·Δweight, less what the swap's parts changed
//
// Share of a mass that the rear wheel carries: fuel 0.45 ± 0.1, rider 0.6 ± 0.1, rectangular; the wheelbase
// counts as 1400 mm where it is not known (common practice, no source). The front wheel carries the rest. A
// mass that was not read both times counts as unchanged. A damper's gas force follows its temperature; the
// rod has 14 mm where its diameter is not known. A fork's air acts on both bores; it is left out without
// them. Front heights read along the fork feel a vertical load by the rake's cosine (map_of.h).

#include "core/ledger/swap_inputs.h"

namespace restand {

// By State: new wheel load − old of the parts that the swap changes; 0 where it changes none.
std::array<Force, 3> load_of_parts(const SwapInputs& in, const CaseValues& values);

struct LoadChange {
    std::array<Force, 3> by{}, u{};      // by State; u: standard uncertainty
    // after − before; nullopt: not read both times. With scales, fuel does not count beside them.
    std::optional<Mass> fuel{}, rider{}, scales{};
    std::optional<GasTemperatures> damper{};   // before, and at the check
    double damper_u = 0.0;                     // standard uncertainty of their difference, K
    bool any() const { return by[1].value != 0.0 || by[2].value != 0.0 || damper; }
};
LoadChange load_change(const SwapInputs& in);

}  // namespace restand
