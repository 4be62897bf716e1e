#include <doctest/doctest.h>

#include <cmath>
#include <locale>
#include <random>
#include <string>
#include <vector>

#include "core/quantity/unit.h"

using namespace restand;

namespace {

struct Accepted {
    const char* text;
    Unit field;
    double value;
    Unit unit;
};

ErrorCode refusal(std::string_view text, Unit unit) {
    const auto read = read_typed(text, unit);
    REQUIRE_FALSE(read.has_value());
    return read.error().code;
}

// German-style punctuation for all code that uses the global locale.
struct CommaPunct : std::numpunct<char> {
    char do_decimal_point() const override { return ','; }
    char do_thousands_sep() const override { return '.'; }
    std::string do_grouping() const override { return "\3"; }
};

}  // namespace

TEST_CASE("read: what a workshop types is read, and a unit behind the number wins over the field's") {
    const std::vector<Accepted> cases = {
        {"312,5", Unit::mm, 312.5, Unit::mm},
        {"312.5", Unit::mm, 312.5, Unit::mm},
        {"312,5 mm", Unit::inch, 312.5, Unit::mm},
        {"  312.5\t", Unit::mm, 312.5, Unit::mm},
        {"\u00A0312.5\u00A0mm\u202F", Unit::mm, 312.5, Unit::mm},
        {"12 5/16 in", Unit::mm, 12.3125, Unit::inch},
        {"12-5/16in", Unit::mm, 12.3125, Unit::inch},
        {"12 5\u204416 in", Unit::mm, 12.3125, Unit::inch},
        {"5/16\"", Unit::mm, 0.3125, Unit::inch},
        {"5/16\u2033", Unit::mm, 0.3125, Unit::inch},
        {"5/16\u201D", Unit::mm, 0.3125, Unit::inch},
        {"17/16", Unit::inch, 1.0625, Unit::inch},
        {"3 1/4", Unit::turn, 3.25, Unit::turn},
        {"3¼", Unit::turn, 3.25, Unit::turn},
        {"3 ¼", Unit::turn, 3.25, Unit::turn},
        {"½", Unit::turn, 0.5, Unit::turn},
        {"12⅝ in", Unit::mm, 12.625, Unit::inch},
        {"540 lb/in", Unit::n_per_mm, 540, Unit::lbf_per_in},
        {"540 lbf/in", Unit::n_per_mm, 540, Unit::lbf_per_in},
        {"9.6 kgf/mm", Unit::n_per_mm, 9.6, Unit::kgf_per_mm},
        {"9,6 kg/mm", Unit::lbf_per_in, 9.6, Unit::kgf_per_mm},
        {"95 N/mm", Unit::kgf_per_mm, 95, Unit::n_per_mm},
        {"95n/mm", Unit::kgf_per_mm, 95, Unit::n_per_mm},
        {"34 lb", Unit::newton, 34, Unit::lbf},
        {"15 kg", Unit::newton, 15, Unit::kgf},
        {"34 lb", Unit::kg, 34, Unit::lb},
        {"15 kg", Unit::lb, 15, Unit::kg},
        {"\u22123", Unit::mm, -3, Unit::mm},
        {"-3", Unit::mm, -3, Unit::mm},
        {"+3", Unit::mm, 3, Unit::mm},
        {"-12 5/16", Unit::inch, -12.3125, Unit::inch},
        {".5", Unit::mm, 0.5, Unit::mm},
        {",5", Unit::mm, 0.5, Unit::mm},
        {"1,234", Unit::mm, 1.234, Unit::mm},  // a comma is a decimal mark, never a thousands separator
        {"007", Unit::mm, 7, Unit::mm},
        {"2.4 bar", Unit::psi, 2.4, Unit::bar},
        {"35 psi", Unit::bar, 35, Unit::psi},
        {"240 kPa", Unit::bar, 240, Unit::kpa},
        {"24.5°", Unit::degree, 24.5, Unit::degree},
        {"24.5 deg", Unit::degree, 24.5, Unit::degree},
        {"12 clicks", Unit::click, 12, Unit::click},
        {"1 turn", Unit::turn, 1, Unit::turn},
        {"1.5 mm/turn", Unit::inch_per_turn, 1.5, Unit::mm_per_turn},
        {"15", Unit::one, 15, Unit::one},
        {"1000000000", Unit::mm, 1e9, Unit::mm},
    };
    for (const Accepted& c : cases) {
        CAPTURE(c.text);
        const auto read = read_typed(c.text, c.field);
        REQUIRE(read.has_value());
        CHECK(typed_value(*read) == c.value);
        CHECK(read->unit == c.unit);
    }
}

TEST_CASE("read: the text stays as typed, without the spaces around it") {
    CHECK(read_typed("  12 5/16 in ", Unit::mm)->text == "12 5/16 in");
    CHECK(read_typed("312,50", Unit::mm)->text == "312,50");
    CHECK(read_typed("−3¼", Unit::turn)->text == "−3¼");
}

TEST_CASE("read: what is no number is refused as such") {
    for (const char* text : {"",         " ",        "abc",     "mm",    "nan",   "NaN",    "inf",   "-inf",
                             "infinity", "1,234.5",  "1.234,5", "1.2.3", "1,2,3", "1 000",  "1'000", "0x10",
                             "1e3",      "1E3",      "1e-3",    "5/0",   "3 5/0", "5/",     "/5",    "5.",
                             "5,",       ".",        ",",       "-",     "+",     "--3",    "+-3",   "- 3",
                             "12 17/16", "12.5 1/4", "12.5¼",   "12-",   "1/2/3", "1/-2",   "¼¼",    "5 5",
                             "12 -5/16", "(3)",      "3;",      "3\n4",  "=3",    "3 mm 4", "mm 3",  "$3"}) {
        CAPTURE(text);
        CHECK(refusal(text, Unit::mm) == ErrorCode::not_a_number);
    }
    CHECK(refusal(std::string_view("5\0", 2), Unit::mm) == ErrorCode::not_a_number);
    CHECK(read_typed(" 1.2.3 ", Unit::mm).error().detail == "1.2.3");
}

TEST_CASE("read: an unknown unit is told from one of another dimension") {
    CHECK(refusal("12 furlong", Unit::mm) == ErrorCode::unknown_unit);
    CHECK(read_typed("12 furlong", Unit::mm).error().detail == "furlong");
    CHECK(refusal("12 \xFF", Unit::mm) == ErrorCode::unknown_unit);
    CHECK(refusal("12 N", Unit::mm) == ErrorCode::wrong_unit);
    CHECK(refusal("12 mm", Unit::newton) == ErrorCode::wrong_unit);
    CHECK(refusal("95 kg", Unit::n_per_mm) == ErrorCode::wrong_unit);
    CHECK(refusal("95 N/mm", Unit::newton) == ErrorCode::wrong_unit);
    CHECK(refusal("12 lbf", Unit::kg) == ErrorCode::wrong_unit);
    CHECK(refusal("1.5 mm", Unit::mm_per_turn) == ErrorCode::wrong_unit);
    CHECK(refusal("15 mm", Unit::one) == ErrorCode::wrong_unit);
}

TEST_CASE("read: too large a number and too long a text are refused") {
    CHECK(refusal("1000000001", Unit::mm) == ErrorCode::out_of_range);
    CHECK(refusal("-1000000001", Unit::mm) == ErrorCode::out_of_range);
    CHECK(refusal(std::string(64, '9'), Unit::mm) == ErrorCode::out_of_range);
    CHECK(refusal(std::string(65, '9'), Unit::mm) == ErrorCode::too_large);
    CHECK(refusal(std::string(1'000'000, '('), Unit::mm) == ErrorCode::too_large);
    CHECK(read_typed(std::string(63, '0') + "7", Unit::mm).has_value());
    // Spaces around it are not part of the number.
    CHECK(read_typed(std::string(100, ' ') + "7", Unit::mm).has_value());
}

TEST_CASE("read: a typed zero has no sign") {
    CHECK_FALSE(std::signbit(typed_value(*read_typed("-0", Unit::mm))));
    CHECK_FALSE(std::signbit(typed_value(*read_typed("−0,0", Unit::mm))));
}

TEST_CASE("read: comma and point give the double nearest to the decimal, over a sweep") {
    int compared = 0;
    for (int k = 0; k < 2'000'000; k += 37) {
        const std::string whole = std::to_string(k / 1000), part = std::to_string(1000 + k % 1000).substr(1);
        // The quotient of two exact integers is rounded once, and so must be the text.
        const double expected = k / 1000.0;
        if (typed_value(*read_typed(whole + '.' + part, Unit::mm)) != expected) FAIL_CHECK(k);
        if (typed_value(*read_typed(whole + ',' + part, Unit::mm)) != expected) FAIL_CHECK(k);
        ++compared;
    }
    CHECK(compared == 54055);
}

TEST_CASE("read: what was read reads back as itself") {
    for (const char* text : {"312,5", "12 5/16 in", "540 lb/in", "−3¼", "9,6 kg/mm", "35 psi", "15 kg"})
        for (int u = 0; u <= static_cast<int>(Unit::inch_per_turn); ++u) {
            const auto once = read_typed(text, static_cast<Unit>(u));
            if (!once) continue;
            CAPTURE(text);
            CAPTURE(u);
            const auto twice = read_typed(once->text, once->unit);
            REQUIRE(twice.has_value());
            CHECK(*twice == *once);
        }
}

TEST_CASE("read: whatever is typed is refused or reads back as itself, within the limits") {
    const std::vector<std::string> pieces = {"1",  "23", "0", ".",    ",",    "-",  "−",   "+",
                                             "/",  " ",  "½", "in",   "\"",   "mm", "N",   "/",
                                             "lb", "kg", "e", "\xE2", "\x80", "°",  "999", "\u00A0"};
    std::mt19937 random(4);
    int accepted = 0;
    for (int run = 0; run < 100'000; ++run) {
        std::string text;
        for (auto n = random() % 7; n > 0; --n) text += pieces[random() % pieces.size()];
        const Unit field = static_cast<Unit>(random() % 19);
        const auto once = read_typed(text, field);
        if (!once) continue;
        ++accepted;
        if (!fits(once->unit, dimension_of(field))) FAIL_CHECK(text);
        if (!(std::fabs(typed_value(*once)) <= 1e9)) FAIL_CHECK(text);
        const auto twice = read_typed(once->text, once->unit);
        if (!twice || !(*twice == *once)) FAIL_CHECK(text);
    }
    // Control: the sweep must reach the accepting paths too.
    CHECK(accepted > 5'000);
    CHECK(accepted < 50'000);
}

TEST_CASE("read and print: the locale of the machine changes nothing") {
    const std::locale before = std::locale::global(std::locale(std::locale::classic(), new CommaPunct));
    CHECK(typed_value(*read_typed("1234.5", Unit::mm)) == 1234.5);
    CHECK(typed_value(*read_typed("1234,5", Unit::mm)) == 1234.5);
    CHECK(print_fixed(1234.5, 2) == "1234.50");
    std::locale::global(before);
}
