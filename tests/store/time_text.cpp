#include "core/codec/time_text.h"

#include <doctest/doctest.h>

#include <cstdint>

using namespace restand;

TEST_CASE("time: as `date -u` prints it, before 1970 too") {
    CHECK(stamp_of(0) == "19700101-000000");
    CHECK(stamp_of(951'782'400'000) == "20000229-000000");  // `date -u -d @951782400`
    CHECK(iso_time(951'782'400'000) == "2000-02-29T00:00:00Z");
    CHECK(iso_time(1'773'479'723'999) == "2026-03-14T09:15:23Z");  // `date -u -d @1773479723`
    CHECK(iso_time(-1) == "1969-12-31T23:59:59Z");
}

TEST_CASE("time: stamps are read as they were written, and what is no time is refused") {
    for (const std::int64_t ms : {0LL, 951'782'399'000LL, 951'782'400'999LL, 1'773'479'723'456LL})
        CHECK(ms_of_stamp(stamp_of(ms)) == ms / 1000 * 1000);
    for (const char* wrong : {"20260231-000000", "2026-09-21", "20260921-250000", "20260921 000000", ""})
        CHECK_FALSE(ms_of_stamp(wrong));
}
