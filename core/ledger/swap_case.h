#pragma once
// The case for the solver that the inputs of one end make. Inside core/ledger only.
//
// What is not known is assumed as swap_inputs.h says. Besides:
//   an adjuster without a known end has no limit there; an unknown pitch gives no turns; neither does an
//   adjuster that was not read as found; a shock without ends and without pitch has a fixed length;
//   the front height map comes from the rake when nothing better is known.
// A spring swap keeps the unit's length: the adjuster is held where it was.

#include "core/ledger/swap_inputs.h"

namespace restand {

Result<SwapCase> make_case(const SwapInputs& in, const CaseValues& values, Length arm_longer);
Result<SwapCase> case_as_answered(const SwapInputs& in);
// With the axle where it was really set; as answered if that was not read.
Result<SwapCase> case_as_set(const SwapInputs& in, const Result<SwapCase>& as_answered);

// False: of the spring that will be fitted only the preload is known, and lengths of it say nothing.
bool is_free_length_known(const SwapInputs& in);
// Unit length and installed length as they were really set.
struct LengthsSet { Length length, installed; };
// Error missing (detail "set") until the set readings are there.
Result<LengthsSet> lengths_set(const SwapInputs& in, const SwapCase& swap);

}  // namespace restand
