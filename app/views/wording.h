#pragma once
// The app's texts: names of points and steps, how each is measured, sentences for errors. Short, in trade
// terms.

#include <string>

#include "app/pad/field.h"
#include "core/ledger/body.h"
#include "core/ledger/change_effect.h"
#include "core/ledger/contradiction.h"
#include "core/ledger/trend.h"
#include "core/tables/csv.h"
#include "core/ledger/restore_plan.h"

namespace restand::wording {

std::string label(Point point);
// "rear ride height, static"; a name that says the end already says it once: "front sprocket"
std::string label(Point point, End end);
std::string short_label(Point point);                // under a heading that names the group
// What to do, as this bike is read: one or two sentences.
std::string guide(Point point, End end, const HowRead& how);
std::string instrument(Point point, const Instrument& with);  // "calliper · reads 0.01 mm"
std::string usual_where(Point point);                // "" = nothing to say where
std::string settled_anew(Point point);               // "seated anew"; "" = makes no difference
std::string step(Step6 step);
std::string part(SwapPart part);                     // "shock"
std::string parts(const std::vector<SwapPart>& parts);           // "shock, sprockets"
std::string usual_reason(const std::vector<SwapPart>& parts);    // "shock, sprockets swapped"
std::string verdict(Verdict verdict);                // "restored"
std::string state(State state);                      // "topped out"
std::string pen(bool night);                         // colour of lines as they are: "black"; "white" at night

// Numbers. `plain` is the form a person would type; `value` is for reading, without unit.
std::string plain(double canonical, Unit unit, std::optional<int> decimals = {});
std::string value(double canonical, Unit unit);
std::string value(Length length, const UnitChoice& units);
std::string length(Length length, const UnitChoice& units);   // "462.0 mm"
std::string typed_number(const Typed& typed);        // as typed, without a unit typed behind it
std::string shown(const Reading& reading);           // without unit: as typed for one repeat, else the mean
// As typed, unless that was in another unit; a height that is only expected begins with ≈.
std::string shown_in(const Reading& reading, Unit unit);
std::string reading(const Reading& reading);         // "309.9 mm", as typed for one repeat, else the mean
std::string signed_value(double canonical, Unit unit);  // "+1.1"
std::string turns(double turns, const char* positive, const char* negative);  // "3¼ turns in"; "no change"
// "3 clicks out"; the direction says the sign.
std::string counted(double number, const char* one, const char* many, const char* direction);

std::string how_many(std::size_t count, const char* one, const char* many);   // "1 entry", "3 entries"

// Sentences.
std::string sentence(const Error& error);
std::string out_of_range(double low, double high, Unit unit);
std::string far_from_last(double away, Unit unit);
std::string far_from_answer(double away, Unit unit);
std::string far_from_then(double away, Unit unit);
std::string unusual(double low, double high, Unit unit);
std::string little_sag(double sag, Unit unit);      // as on a stand under the swingarm
// Two readings of one part that cannot both be right (core/ledger/contradiction.h).
std::string out_of_order(const OutOfOrder& order, Unit unit);
std::string two_preloads(const TwoPreloads& two, Unit unit);
std::string count_again(int links, int fits);
std::string odd_links();
std::string other_rate(double old, Unit unit);
// `apart`: the gap between the coils at full travel, below 0
std::string coils_touch(Length apart, const UnitChoice& units);

// Days and times, at the workshop's own offset from UTC.
// The season's.
std::string label(EventField field);
std::string label(PartField field);
std::string label(Derived what);
std::string change_of(ChangeOf of);                  // "spring and preload"
std::string label(Watched what, Point point);
std::string end(End end);                               // "rear"
std::string heading(End end);                           // "Rear"
std::string tried(std::size_t settings);                // "2 settings tried, not set"
std::string moment(std::string_view kind);              // of an entry: "baseline", "change", …
std::string happened(const EventBody& event);           // one line
std::string said(const Body& body);                     // one line; "" if the entry's kind says all
std::string said(const NewEntry& entry);                // the same for an entry that is not stored
std::string action(const PlanAction& action, const UnitChoice& units);   // "collar 1½ turns in"
// "front: its clicks of then belong to another damper"
std::string left_out(const LeftOut& left);
std::string limit(LimitCode code, End end, const std::string& bound, const std::string& beyond);
std::string column(const ColumnUse& use);
std::string file_name(const std::string& path);         // without its folders
std::string file_sentence(const Error& error);          // of a file or a device: what, where, what to do
std::string iso_day(std::int64_t ms, int utc_offset_min);  // "2026-05-03"
std::string day(std::int64_t ms, int utc_offset_min);   // "3 May 2026"
std::string short_day(std::int64_t ms, std::int64_t now_ms, int utc_offset_min);   // no year if it is now's
std::string clock(std::int64_t ms, int utc_offset_min); // "14:32:05"

}  // namespace restand::wording
