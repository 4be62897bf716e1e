#pragma once
// Units that people type and read, and how numbers are written in a workshop: "312,5", "312.5", "12 5/16 in",
// "540 lb/in", "3 1/4". Typed keeps the text exactly as typed. The canonical value is derived from it.
//
// Canonical units: mm, N, N/mm, rad, kg, MPa, °C, mm³. Turns, clicks, counts and ratios are plain numbers.
// Decimal comma and decimal point are equivalent. Neither is ever a thousands separator.
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
    temperature,
    volume,
    text
};  // text: a name, not a number (Unit::one)

enum class Unit {
    mm, inch,                            // length
    n_per_mm, kgf_per_mm, lbf_per_in,    // rate
    newton, lbf, kgf,                    // force
    kg, lb,                              // mass
    degree,                              // angle
    bar, psi, kpa,                       // pressure
    turn, click, one,                    // turns, clicks; one: counts and ratios
    mm_per_turn, inch_per_turn,          // pitch of a threaded adjuster
    celsius,                             // temperature
    cubic_cm,                            // volume
};

Dimension dimension_of(Unit unit);
bool fits(Unit unit, Dimension dimension);              // count, ratio and text all take Unit::one
std::string_view key(Unit unit);                        // in files: "N/mm", "deg", "click", "1"
std::optional<Unit> unit_of_key(std::string_view key);
std::string_view symbol(Unit unit);                     // in print: "N/mm", "lbf/in", "mm", ""
double to_canonical(double value, Unit unit);
double from_canonical(double canonical, Unit unit);

// The units a team has chosen for display. A single field can be switched to another unit.
struct UnitChoice {
    Unit length = Unit::mm;
    Unit rate = Unit::n_per_mm;
    Unit force = Unit::newton;
    Unit mass = Unit::kg;
    Unit pressure = Unit::bar;
    friend bool operator==(const UnitChoice&, const UnitChoice&) = default;
};
Unit chosen(const UnitChoice& choice, Dimension dimension);
Unit next_unit(Unit unit);  // next unit of the same dimension, cyclic; for the unit key of the number pad

// A number as a person typed it. `unit`: the unit typed after the number, or the field's unit at that time.
struct Typed {
    std::string text;
    Unit unit = Unit::mm;
    friend bool operator==(const Typed&, const Typed&) = default;
};

// Parses text into a Typed. A unit typed after the number overrides `unit`. It must have the same dimension.
// Exponents are not accepted. Errors: not_a_number, unknown_unit, wrong_unit; out_of_range if the magnitude
// exceeds 1e9; too_large if the text is longer than 64 bytes. The error subject is empty: the caller knows
// the field.
Result<Typed> read_typed(std::string_view text, Unit unit);
double typed_value(const Typed& typed);      // in typed.unit; broken invariant if the text is not a number
double canonical_value(const Typed& typed);

// Printing, independent of locale. Fixed decimals; minus sign U+2212; "—" if the value is not finite.
std::string print_fixed(double value, int decimals);
std::string print_quarters(double turns);    // magnitude, to the nearest quarter: "3¼", "½", "0"
std::string print_sixteenths(double inches); // "12 5/16"
// Prints a canonical value in `unit`, with usual_decimals(unit) and without the symbol. Turns, clicks and
// plain numbers drop trailing zeros: "15", "2.5".
std::string print_in(double canonical, Unit unit);
int usual_decimals(Unit unit);               // mm 1, inch 3, N/mm 1, lbf/in 0, ...
// As a person would type the number that print_in() shows: "305.1", "305", "-4". What is set by a number on
// the screen is recorded so.
Typed typed_as_shown(double canonical, Unit unit);
// Half of the last decimal shown, canonical: numbers so close may be shown alike.
double half_shown(Unit unit);

}  // namespace restand
