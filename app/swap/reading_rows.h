#pragma once
// The rows of a swap's step that takes readings. Inside app/swap only.

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

// A preload that the lengths read in the same step say need not be read. nullopt: another field, or they do
// not say it.
std::optional<Length> following_preload(const Swap& swap, const Field& field);
inline constexpr const char* by_its_lengths = "by its lengths";

void reading_rows(const AppState& state, SolvedSwap& solved, Phase phase, PageView& page);

}  // namespace restand
