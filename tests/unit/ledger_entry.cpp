#include <doctest/doctest.h>

#include "core/ledger/body.h"

using namespace restand;

TEST_CASE("id: text and back, as RFC 9562 prints it") {
    // The UUIDv7 example of RFC 9562, appendix A.6.
    const std::string text = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f";
    const auto id = id_from_text(text);
    REQUIRE(id);
    CHECK(id->bytes[0] == 0x01);
    CHECK(id->bytes[15] == 0x8f);
    CHECK(to_text(*id) == text);
    CHECK(*id_from_text("017F22E2-79B0-7CC3-98C4-DC0C0C07398F") == *id);
}

TEST_CASE("id: anything else is refused") {
    for (const char* text :
         {"", "017f22e2", "017f22e2-79b0-7cc3-98c4-dc0c0c07398", "017f22e2-79b0-7cc3-98c4-dc0c0c07398ff",
          "017f22e279b0-7cc3-98c4-dc0c0c07398f-", "017f22e2-79b0-7cc3-98c4-dc0c0c07398g"})
        CHECK_FALSE(id_from_text(text));
}

TEST_CASE("clock: never goes back, whatever the wall clock does") {
    Clock clock;
    for (const std::int64_t wall : {1000ll, 1000ll, 2000ll, 500ll, -7ll, 2000ll, 2001ll}) {
        const Clock next = tick(clock, wall);
        CHECK(next > clock);
        clock = next;
    }
    CHECK(clock == Clock{2001, 0});
    CHECK(tick({5, 3}, 5) == Clock{5, 4});
    // The counter stays within 16 bits (Kulkarni et al. 2014, section 6).
    CHECK(tick({5, 0xffff}, 5) == Clock{6, 0});
}

TEST_CASE("clock: a foreign clock pulls it along; one more than a day ahead is followed by the next epoch") {
    constexpr std::int64_t day = 86'400'000;
    CHECK(tick({100 + day, 0}, 100) == Clock{100 + day, 1});
    CHECK(tick({101 + day, 0}, 100) == Clock{100, 0x10000});
    // An earlier epoch comes first, however late its date.
    CHECK(Clock{101 + day, 0xffff} < Clock{100, 0x10000});
    CHECK(tick({100, 0x1ffff}, 100) == Clock{101, 0x10000});
    CHECK(tick({100, 0x10007}, 300) == Clock{300, 0x10000});
}

TEST_CASE("clock: in the last epoch it is followed as far as it runs ahead, and nothing overflows") {
    constexpr std::int64_t day = 86'400'000;
    CHECK(tick({101 + day, 0xfffe'0003}, 100) == Clock{101 + day, 0xfffe'0004});
    CHECK(possible(tick({101 + day, 0xfffd'ffff}, 100)));
    CHECK_FALSE(possible({100, 0xffff'0000}));
    CHECK_FALSE(possible({last_day_ms + 1, 0}));
    CHECK(tick({INT64_MAX, UINT32_MAX}, 100).ms == INT64_MAX);
    CHECK(tick({INT64_MAX, 5}, 100) == Clock{100, 0x10000});
    CHECK(tick({INT64_MIN, 5}, 100) == Clock{100, 0});
}

TEST_CASE("kinds: each body has its own word") {
    CHECK(kind_of(PersonBody{}) == "person");
    CHECK(kind_of(ReadingBody{}) == "reading");
    CHECK(kind_of(SwapEndBody{}) == "swap_end");
    CHECK(kind_of(RetractionBody{}) == "retraction");
}
