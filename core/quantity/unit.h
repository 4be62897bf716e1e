#pragma once
// Units people type and read, and the text forms of numbers in a workshop: "312,5", "312.5", "12 5/16 in",
// "540 lb/in", "3 1/4". What was typed stays as typed (Typed); the canonical value is derived from it.
//
// Canonical: mm, N, N/mm, rad, kg, MPa; turns, clicks, counts and ratios are plain numbers.
// A decimal comma and a decimal point mean the same; neither is ever a thousands separator.
// Exact factors: NIST SP 811 (2008), App. B.

#include <optional>
#include <string>
#include <string_view>

#include "core/quantity/result.h"

namespace restand {

enum class Dimension {
    length,
    rate,
    force,
    mass,
    angle,
    pressure,
    turns,
    clicks,
    count,
    ratio,
    length_per_turn,
    text
};  // text: a name, no number (Unit::one)

enum class Unit {
    mm, inch,                            // length
    n_per_mm, kgf_per_mm, lbf_per_in,    // rate
    newton, lbf, kgf,                    // force
    kg, lb,                              // mass
    degree,                              // angle
    bar, psi, kpa,                       // pressure
    turn, click, one,                    // turns, clicks; one: counts and ratios
    mm_per_turn, inch_per_turn,          // pitch of a threaded adjuster
};

Dimension dimension_of(Unit unit);
bool fits(Unit unit, Dimension dimension);              // count and ratio both take Unit::one
std::string_view key(Unit unit);                        // in files: "N/mm", "deg", "click", "1"
std::optional<Unit> unit_of_key(std::string_view key);
std::string_view symbol(Unit unit);                     // as printed: "N/mm", "lbf/in", "mm", ""
double to_canonical(double value, Unit unit);
double from_canonical(double canonical, Unit unit);

// The units a team reads in, chosen once; a field may be switched by itself.
struct UnitChoice {
    Unit length = Unit::mm;
    Unit rate = Unit::n_per_mm;
    Unit force = Unit::newton;
    Unit mass = Unit::kg;
    Unit pressure = Unit::bar;
    friend bool operator==(const UnitChoice&, const UnitChoice&) = default;
};
Unit chosen(const UnitChoice& choice, Dimension dimension);
Unit next_unit(Unit unit);  // the next unit of the same dimension, cyclic; for the pad's unit key

// A number as a person typed it. `unit` is the field's unit at the time, or the one typed behind the number.
struct Typed {
    std::string text;
    Unit unit = Unit::mm;
    friend bool operator==(const Typed&, const Typed&) = default;
};

// Reads text into a Typed. A unit typed behind the number wins over `unit`; it must be of the same dimension.
// Errors: not_a_number, unknown_unit, wrong_unit; out_of_range when the number is beyond 1e9, too_large when
// the text is longer than 64 bytes. No exponents; error subjects are empty, the caller knows the field.
Result<Typed> read_typed(std::string_view text, Unit unit);
double typed_value(const Typed& typed);      // in typed.unit; broken invariant when text is no number
double canonical_value(const Typed& typed);

// Printing, locale-free. Fixed decimals, true minus sign U+2212 for negative numbers; "—" when not finite.
std::string print_fixed(double value, int decimals);
std::string print_quarters(double turns);    // magnitude to the nearest quarter: "3¼", "½", "0"
std::string print_sixteenths(double inches); // "12 5/16"
// A canonical value in a unit with the decimals that unit is read to, without the symbol. Turns, clicks and
// plain numbers drop zeros at the end: "15", "2.5".
std::string print_in(double canonical, Unit unit);
int usual_decimals(Unit unit);               // mm 1, inch 3, N/mm 1, lbf/in 0, ...

}  // namespace restand
