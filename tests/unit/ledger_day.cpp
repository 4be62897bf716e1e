#include "core/ledger/day.h"

#include <doctest/doctest.h>

#include <chrono>
#include <cstdio>

using namespace restand;

TEST_CASE("day: 29 February is a day in leap years only") {
    for (const char* day : {"2024-02-29", "2000-02-29", "1600-02-29"}) CHECK(noon_of(day).has_value());
    for (const char* day : {"2023-02-29", "1900-02-29", "2100-02-29"}) CHECK_FALSE(noon_of(day).has_value());
    CHECK(*noon_of("2024-03-01") - *noon_of("2024-02-29") == 86'400'000);
}

// The calendar of C++20's <chrono>, an implementation of its own.
TEST_CASE("day: of every day and non-day of 400 years, what the calendar says") {
    using namespace std::chrono;
    for (int y = 1801; y <= 2201; ++y)
        for (unsigned m = 0; m <= 13; ++m)
            for (unsigned d = 0; d <= 32; ++d) {
                char text[32];
                std::snprintf(text, sizeof text, "%04d-%02u-%02u", y, m, d);
                const year_month_day date{year(y), month(m), day(d)};
                const auto noon = noon_of(text);
                REQUIRE_MESSAGE(noon.has_value() == date.ok(), text);
                if (noon)
                    REQUIRE(*noon ==
                            duration_cast<milliseconds>(sys_days(date).time_since_epoch() + 12h).count());
            }
}

TEST_CASE("day: what is not written as a day is none") {
    for (const char* text :
         {"", "2026", "2026-3-14", "2026-03-14 ", "2026/03/14", "2O26-03-14", "0000-01-01"})
        CHECK_FALSE(noon_of(text).has_value());
}
