#pragma once
// Texts of the season: events, entries of the time line, actions of the restore plan, table columns, files.

#include <string>

#include "app/pad/field.h"
#include "core/ledger/change_effect.h"
#include "core/ledger/restore_plan.h"
#include "core/ledger/trend.h"
#include "core/tables/csv.h"

namespace restand::wording {

std::string label(EventField field);
std::string label(PartField field);
std::string label(Derived what);
std::string change_of(ChangeOf of);                  // "spring and preload"
std::string label(Watched what, Point point);
std::string end(End end);                               // "rear"
std::string heading(End end);                           // "Rear"
std::string tried(std::size_t settings);                // "2 settings tried, not set"
std::string moment(std::string_view kind);              // of an entry: "baseline", "change", …
// Which heights a baseline of this would lack, though they were read before a setting moved them, or the end
// has none at all: "rear static, front heights not read"; "" if none.
std::string heights_not_read(const SetUp& setup);
std::string happened(const EventBody& event);           // one line
std::string said(const Body& body);                     // one line; "" if the entry's kind says all
std::string said(const NewEntry& entry);                // the same for an entry that is not stored
std::string action(const PlanAction& action, const UnitChoice& units);   // "collar 1½ turns in"
// "front: its clicks of then belong to another damper"
std::string left_out(const LeftOut& left);
std::string limit(LimitCode code, End end, const std::string& bound, const std::string& beyond);
std::string limit(const EndLimit& of, const UnitChoice& units);   // names its end
std::string column(const ColumnUse& use);
std::string file_name(const std::string& path);         // without its folders
std::string file_sentence(const Error& error);          // of a file or a device: what, where, what to do
std::string iso_day(std::int64_t ms, int utc_offset_min);  // "2026-05-03"

}  // namespace restand::wording
