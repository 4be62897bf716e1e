#pragma once
// The season's answers as JSON for other programs: the time line, a comparison, a restore plan. Keys are in
// tables.md; values canonical, units as in tables.h; unknown values are null.

#include <span>
#include <string>

#include "core/ledger/compare.h"
#include "core/ledger/history.h"
#include "core/ledger/restore_plan.h"

namespace restand {

std::string history_json(std::span<const Entry> moments, const std::set<Id>& set_aside, const Ledger& names);
std::string comparison_json(const Comparison& comparison);
std::string plan_json(const PlanActions& plan);

}  // namespace restand
