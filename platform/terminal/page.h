#pragma once
// The answer as one page for people, in the order of the work; for the screen or printed for the toolbox.

#include <string>

#include "core/casefile/case_json.h"

namespace restand {

std::string page(const CaseFile& file, const UncertainAnswer& uncertain);
// The parts of such a page: one end under its title, what to set, and what is said at the foot of every page.
std::string end_page(const CaseFile& file, const UncertainAnswer& uncertain, const std::string& title);
std::string to_set(const CaseFile& file, const Answer& answer);
std::string cautions();
std::string tenths(std::optional<Length> length);  // in mm with one decimal; "–" for none

}  // namespace restand
