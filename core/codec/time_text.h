#pragma once
// A moment as text, in UTC, to the second. Times are Unix ms; the calendar is the proleptic Gregorian one.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace restand {

std::string iso_time(std::int64_t ms);   // "2026-03-14T09:15:00Z", ISO 8601
std::string stamp_of(std::int64_t ms);   // "20260314-091500", for names of files
std::optional<std::int64_t> ms_of_stamp(std::string_view stamp);   // nullopt: not a stamp

}  // namespace restand
