#include "core/codec/time_text.h"

#include <chrono>
#include <cstdio>

namespace restand {
namespace {

// `format` takes the six numbers from year to second.
std::string in_format(const char* format, std::int64_t ms) {
    using namespace std::chrono;
    const auto at = floor<seconds>(sys_time<milliseconds>{milliseconds(ms)});
    const auto day = floor<days>(at);
    const year_month_day date{day};
    const hh_mm_ss time{at - day};
    char text[64];
    std::snprintf(text, sizeof text, format, int(date.year()), unsigned(date.month()), unsigned(date.day()),
                  int(time.hours().count()), int(time.minutes().count()), int(time.seconds().count()));
    return text;
}

}  // namespace

std::string iso_time(std::int64_t ms) {
    return in_format("%04d-%02u-%02uT%02d:%02d:%02dZ", ms);
}

std::string stamp_of(std::int64_t ms) {
    return in_format("%04d%02u%02u-%02d%02d%02d", ms);
}

std::optional<std::int64_t> ms_of_stamp(std::string_view stamp) {
    using namespace std::chrono;
    if (stamp.size() != 15 || stamp[8] != '-') return std::nullopt;
    int v[6] = {0, 0, 0, 0, 0, 0};
    constexpr std::size_t at[6] = {0, 4, 6, 9, 11, 13}, size[6] = {4, 2, 2, 2, 2, 2};
    for (int i = 0; i < 6; ++i)
        for (const char c : stamp.substr(at[i], size[i])) {
            if (c < '0' || c > '9') return std::nullopt;
            v[i] = v[i] * 10 + (c - '0');
        }
    const year_month_day date{year(v[0]), month(static_cast<unsigned>(v[1])),
                              day(static_cast<unsigned>(v[2]))};
    if (!date.ok() || v[3] > 23 || v[4] > 59 || v[5] > 59) return std::nullopt;
    const auto time = sys_days(date) + hours(v[3]) + minutes(v[4]) + seconds(v[5]);
    return duration_cast<milliseconds>(time.time_since_epoch()).count();
}

}  // namespace restand
