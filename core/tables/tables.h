#pragma once
// Exports the ledger for other programs: readings as a long CSV table, entries as JSON lines.
//
//   CSV columns: bike, day, time_utc, kind, end, point, value, unit, u95, typed, typed_unit, repeats,
//   instrument, where, by, device, entry, set_aside
//                one line per reading; value canonical, in `unit`
//   JSON lines: one entry per line with every field of entry.h, body as JSON, ids and hashes as text

#include <string>
#include <vector>

#include "core/ledger/ledger.h"
#include "core/quantity/progress.h"

namespace restand {

std::string readings_csv(const std::vector<Entry>& entries, const Ledger& names);
std::string entries_jsonl(const std::vector<Entry>& entries);

}  // namespace restand
