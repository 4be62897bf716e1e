#pragma once
// What to set on the part, as large numbers: the length of the unit and the collar of its spring.

#include "app/swap/answer_parts.h"

namespace restand {

// Where the adjusters stand when the work begins: as found on the bench, or as they were set.
struct SetFrom { Length length, installed; };
// Where the unit stays in and cannot be lengthened, its length is left alone.
void setting_rows(const AnswerWriter& w, const UncertainAnswer& uncertain_answer, const CaseInput& input,
                  const SwapSite& site, const SetFrom& from);
std::string plus_minus(const AnswerWriter& w, const std::optional<Uncertain>& u);   // "± 0.4"; "" if it is known

}  // namespace restand
