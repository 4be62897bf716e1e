// Numbers as text in the browser (platform/web/floating_text.h) against the compiler's own standard library: what a
// tablet writes, a laptop writes, digit by digit.

#include <doctest/doctest.h>

#include <bit>
#include <cmath>
#include <cstdint>
#include <random>
#include <string>
#include <system_error>

#include "platform/web/floating_text.h"

namespace web = restand::web;

namespace {

constexpr std::size_t longest = 1500;  // 2^1023 and the smallest double, in fixed places

template <class Write>
std::string text_of(Write write) {
    char buffer[longest];
    const std::to_chars_result result = write(buffer, buffer + longest);
    return result.ec == std::errc{} ? std::string(buffer, result.ptr) : "no room";
}

void compare_written(double v) {
    CAPTURE(v);
    CHECK(text_of([v](char* a, char* b) { return web::to_chars(a, b, v); }) ==
          text_of([v](char* a, char* b) { return std::to_chars(a, b, v); }));
    for (const auto format : {std::chars_format::fixed, std::chars_format::scientific}) {
        CHECK(text_of([&](char* a, char* b) { return web::to_chars(a, b, v, format); }) ==
              text_of([&](char* a, char* b) { return std::to_chars(a, b, v, format); }));
        for (const int places : {0, 2, 6})
            CHECK(text_of([&](char* a, char* b) { return web::to_chars(a, b, v, format, places); }) ==
                  text_of([&](char* a, char* b) { return std::to_chars(a, b, v, format, places); }));
    }
}

void compare_read(const std::string& text, std::chars_format format) {
    CAPTURE(text);
    constexpr double untouched = 7;
    double ours = untouched, theirs = untouched;
    const char *first = text.data(), *last = first + text.size();
    const auto read = web::from_chars(first, last, ours, format),
               expected = std::from_chars(first, last, theirs, format);
    CHECK(read.ptr == expected.ptr);
    CHECK((read.ec == expected.ec));
    CHECK((std::isnan(theirs) ? std::isnan(ours)
                              : std::bit_cast<std::uint64_t>(ours) == std::bit_cast<std::uint64_t>(theirs)));
}

}  // namespace

TEST_CASE("web numbers: written as the standard library writes them, of any size") {
    std::mt19937_64 random(1);
    for (int i = 0; i < 20'000; ++i) {
        const std::uint64_t bits = random();
        compare_written(std::bit_cast<double>(bits));
        compare_written(static_cast<double>(bits % 2'000'000) / 1000 - 1000);
        compare_written(
            std::ldexp(1.0, static_cast<int>(bits % 2098) - 1074));  // a power of two: its neighbours differ
    }
    for (const double v : {0.0, -0.0, 1e15, 1e16, 1e22, 1e23, 123456789012345680.0}) compare_written(v);
}

TEST_CASE("web numbers: read as the standard library reads them, also what is no number or out of range") {
    std::mt19937_64 random(2);
    for (int i = 0; i < 20'000; ++i) {
        const double v = std::bit_cast<double>(random());
        compare_read(text_of([v](char* a, char* b) { return std::to_chars(a, b, v); }),
                     std::chars_format::general);
    }
    for (const char* text : {"1",   "+1",       " 1",  "1.",   "1.e",   "1e",    "1e5",    "1e+5",   ".5",
                             "-.5", "-",        "e5",  "0x1",  "1.5.2", "1e400", "-1e400", "1e-400", "0e400",
                             "inf", "infinity", "nan", "12,5", "1E5",   "",      "00012",  "0.0"})
        for (const auto format : {std::chars_format::general, std::chars_format::fixed})
            compare_read(text, format);
}
