#pragma once
// The answer as one page for people, in the order of doing; to read on the screen or to tape to the toolbox.

#include <string>

#include "core/casefile/case_json.h"

namespace restand {

std::string page(const CaseFile& file, const UncertainAnswer& uncertain);

}  // namespace restand
