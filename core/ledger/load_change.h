#pragma once
// By how much the bike was loaded otherwise when it was checked than before the swap: fuel and rider. Inside
// core/ledger only.
//
//   change of wheel load = g·(share of fuel·Δfuel + share of rider·Δrider)     rider: with the rider on only
//
// Share of a mass that the rear wheel carries: fuel 0.45 ± 0.1, rider 0.6 ± 0.1, rectangular (common
// practice, no source); the front wheel carries the rest. A mass that was not read both times counts as
// unchanged.

#include "core/ledger/swap_inputs.h"

namespace restand {

struct LoadChange {
    std::array<Force, 3> by{}, u{};      // by State; u: standard uncertainty
    std::optional<Mass> fuel{}, rider{}; // after − before; nullopt: not read both times
    bool any() const { return by[1].value != 0.0 || by[2].value != 0.0; }
};
LoadChange load_change(const SwapInputs& in);

}  // namespace restand
