#pragma once
// The answer as one page for people, in the order of the work; for the screen or printed for the toolbox.

#include <string>

#include "core/casefile/case_json.h"

namespace restand {

std::string page(const CaseFile& file, const UncertainAnswer& uncertain);

}  // namespace restand
