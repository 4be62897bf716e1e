#pragma once
// The terminal's lists as JSON: bikes, baselines of a bike, one baseline with every value.

#include "core/ledger/ledger.h"

namespace restand {

std::string bikes_json(const Ledger& ledger);                      // archived ones too, marked
std::string baselines_json(const Ledger& ledger, const Id& bike);  // newest first
std::string baseline_json(const Ledger& ledger, const Baseline& baseline);
std::string utc_text(std::int64_t ms);  // "2026-03-14 09:05 UTC"

}  // namespace restand
