#pragma once
// Texts of every page: steps and parts, numbers, days, sentences for errors. Short, in trade terms.

#include <string>

#include "core/ledger/body.h"

namespace restand::wording {

std::string step(Step6 step);
std::string part(SwapPart part);                     // "shock"
std::string parts(const std::vector<SwapPart>& parts);           // "shock, sprockets"
std::string probability(double p);                      // "96 %"; "over 99 %"
std::string as_it_stands();                             // reason of a baseline without a swap
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

// Sentences. `end`: of which end the error is, where its subject is a reading.
std::string sentence(const Error& error, End end = End::rear);
// `apart`: the gap between the coils at full travel, below 0
std::string coils_touch(End end, Length apart, const UnitChoice& units);

// `by`: of chain at the tight spot; 0 where it is just taut
std::string chain_too_short(Length by, const UnitChoice& units);

// Days and times, at the workshop's own offset from UTC.
std::string day(std::int64_t ms, int utc_offset_min);   // "3 May 2026"
std::string short_day(std::int64_t ms, std::int64_t now_ms, int utc_offset_min);   // no year if it is now's
std::string clock(std::int64_t ms, int utc_offset_min); // "14:32:05"

}  // namespace restand::wording
