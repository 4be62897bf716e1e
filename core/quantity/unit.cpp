#include "core/quantity/unit.h"

#include <array>

#include "core/quantity/conversions.h"

namespace restand {
namespace {

// canonical = value * num / den. Both are whole numbers that a double holds exactly (except for the degree),
// so 12 5/16 in gives the double nearest to 312.7375 mm, and 2.4 bar the one nearest to 0.24 MPa.
struct UnitFacts {
    Unit unit;
    Dimension dimension;
    std::string_view key, symbol;
    double num, den;
    int decimals;
};

// NIST SP 811 (2008), App. B: lb = 0.45359237 kg, g_n = 9.80665 m/s², in = 25.4 mm, all exact, hence
// lbf = 4.4482216152605 N and kgf = 9.80665 N.
constexpr double lbf_num = 44482216152605.0, lbf_den = 1e13;
constexpr double kgf_num = 980665.0, kgf_den = 1e5;
constexpr double inch_num = 254.0, inch_den = 10.0;

// clang-format off
constexpr std::array unit_table = {
    UnitFacts{Unit::mm,            Dimension::length,          "mm",      "mm",      1.0,        1.0,      1},
    UnitFacts{Unit::inch,          Dimension::length,          "in",      "in",      inch_num,   inch_den, 3},
    UnitFacts{Unit::n_per_mm,      Dimension::rate,            "N/mm",    "N/mm",    1.0,        1.0,      1},
    UnitFacts{Unit::kgf_per_mm,    Dimension::rate,            "kgf/mm",  "kgf/mm",  kgf_num,    kgf_den,  2},
    UnitFacts{Unit::lbf_per_in,    Dimension::rate,            "lbf/in",  "lbf/in",  lbf_num,    254e12,   0},
    UnitFacts{Unit::newton,        Dimension::force,           "N",       "N",       1.0,        1.0,      0},
    UnitFacts{Unit::lbf,           Dimension::force,           "lbf",     "lbf",     lbf_num,    lbf_den,  0},
    UnitFacts{Unit::kgf,           Dimension::force,           "kgf",     "kgf",     kgf_num,    kgf_den,  1},
    UnitFacts{Unit::kg,            Dimension::mass,            "kg",      "kg",      1.0,        1.0,      1},
    UnitFacts{Unit::lb,            Dimension::mass,            "lb",      "lb",      45359237.0, 1e8,      1},
    UnitFacts{Unit::degree,        Dimension::angle,           "deg",     "°",       pi,         180.0,    1},
    UnitFacts{Unit::bar,           Dimension::pressure,        "bar",     "bar",     1.0,        10.0,     2},
    UnitFacts{Unit::psi,           Dimension::pressure,        "psi",     "psi",     lbf_num,    64516e11, 1},
    UnitFacts{Unit::kpa,           Dimension::pressure,        "kPa",     "kPa",     1.0,        1000.0,   0},
    UnitFacts{Unit::turn,          Dimension::turns,           "turn",    "turns",   1.0,        1.0,      2},
    UnitFacts{Unit::click,         Dimension::clicks,          "click",   "clicks",  1.0,        1.0,      1},
    UnitFacts{Unit::one,           Dimension::count,           "1",       "",        1.0,        1.0,      3},
    UnitFacts{Unit::mm_per_turn,   Dimension::length_per_turn, "mm/turn", "mm/turn", 1.0,        1.0,      2},
    UnitFacts{Unit::inch_per_turn, Dimension::length_per_turn, "in/turn", "in/turn", inch_num,   inch_den, 4},
    UnitFacts{Unit::celsius,       Dimension::temperature,     "C",       "°C",      1.0,        1.0,      0},
    UnitFacts{Unit::cubic_cm,      Dimension::volume,          "cm3",     "cm³",     1000.0,     1.0,      0},
};
// clang-format on
constexpr std::size_t unit_count = unit_table.size();

constexpr bool units_in_order() {
    for (std::size_t i = 0; i < unit_count; ++i)
        if (static_cast<std::size_t>(unit_table[i].unit) != i) return false;
    return unit_table.back().unit == Unit::cubic_cm;
}
static_assert(units_in_order(), "one line a unit, in the order of the enumerators");

const UnitFacts& facts_of(Unit unit) {
    const auto index = static_cast<std::size_t>(unit);
    check(index < unit_count, "unit outside its table");
    return unit_table[index];
}

}  // namespace

Dimension dimension_of(Unit unit) {
    return facts_of(unit).dimension;
}

bool fits(Unit unit, Dimension dimension) {
    if (unit == Unit::one)
        return dimension == Dimension::count || dimension == Dimension::ratio || dimension == Dimension::text;
    return dimension_of(unit) == dimension;
}

std::string_view key(Unit unit) {
    return facts_of(unit).key;
}

std::optional<Unit> unit_of_key(std::string_view key) {
    for (const UnitFacts& each : unit_table)
        if (each.key == key) return each.unit;
    return std::nullopt;
}

std::string_view symbol(Unit unit) {
    return facts_of(unit).symbol;
}

double to_canonical(double value, Unit unit) {
    const UnitFacts& f = facts_of(unit);
    return value * f.num / f.den;
}

double from_canonical(double canonical, Unit unit) {
    const UnitFacts& f = facts_of(unit);
    return canonical * f.den / f.num;
}

Unit chosen(const UnitChoice& choice, Dimension dimension) {
    switch (dimension) {
        case Dimension::length:
            return choice.length;
        case Dimension::rate:
            return choice.rate;
        case Dimension::force:
            return choice.force;
        case Dimension::mass:
            return choice.mass;
        case Dimension::pressure:
            return choice.pressure;
        case Dimension::angle:
            return Unit::degree;
        case Dimension::turns:
            return Unit::turn;
        case Dimension::clicks:
            return Unit::click;
        case Dimension::temperature:
            return Unit::celsius;
        case Dimension::volume:
            return Unit::cubic_cm;
        case Dimension::count:
        case Dimension::ratio:
        case Dimension::text:
            return Unit::one;
        // Thread pitch follows the unit of lengths: inches go with in/turn.
        case Dimension::length_per_turn:
            return choice.length == Unit::inch ? Unit::inch_per_turn : Unit::mm_per_turn;
    }
    check(false, "dimension outside its enumerators");
    return Unit::one;
}

Unit next_unit(Unit unit) {
    const Dimension wanted = dimension_of(unit);
    std::size_t i = static_cast<std::size_t>(unit);
    do i = (i + 1) % unit_count;
    while (unit_table[i].dimension != wanted);
    return unit_table[i].unit;
}

int usual_decimals(Unit unit) {
    return facts_of(unit).decimals;
}

}  // namespace restand
