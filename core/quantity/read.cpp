// Parses typed text. Grammar, after trimming and after replacing the characters of `plain_equivalents`:
//
//   typed    = [sign] number [spaces] [unit]
//   number   = decimal | digits "/" digits | digits (spaces | "-") digits "/" digits
//   decimal  = [digits] ("." | ",") digits | digits
//
// Not accepted: exponents, thousands separators, "5." (a digit is missing), "12 17/16" (a typing error).

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "core/quantity/unit.h"

namespace restand {
namespace {

constexpr std::size_t longest_number = 64;  // bytes; nobody types a longer number
constexpr double largest_number = 1e9;

struct Replacement {
    std::string_view from, to;
};
// Equivalents of the grammar's characters: minus sign, fraction slash, no-break spaces, vulgar fractions.
constexpr std::array plain_equivalents = {
    Replacement{"\u2212", "-"},    Replacement{"\u2044", "/"},    Replacement{"\u00A0", " "},
    Replacement{"\u202F", " "},    Replacement{"\t", " "},        Replacement{"\u00BC", " 1/4"},
    Replacement{"\u00BD", " 1/2"}, Replacement{"\u00BE", " 3/4"}, Replacement{"\u215B", " 1/8"},
    Replacement{"\u215C", " 3/8"}, Replacement{"\u215D", " 5/8"}, Replacement{"\u215E", " 7/8"},
};

struct Spelling {
    std::string_view text;  // ASCII letters in lower case
    Unit unit;
};
// One spelling can mean several units; the field's dimension decides. Workshop usage: kg/mm means kgf/mm,
// lb/in means lbf/in, and kg or lb in a force field means kgf or lbf.
constexpr std::array spellings = {
    Spelling{"mm", Unit::mm},
    Spelling{"in", Unit::inch},
    Spelling{"inch", Unit::inch},
    Spelling{"inches", Unit::inch},
    Spelling{"\"", Unit::inch},
    Spelling{"\u2033", Unit::inch},
    Spelling{"\u201D", Unit::inch},
    Spelling{"n/mm", Unit::n_per_mm},
    Spelling{"kgf/mm", Unit::kgf_per_mm},
    Spelling{"kg/mm", Unit::kgf_per_mm},
    Spelling{"lbf/in", Unit::lbf_per_in},
    Spelling{"lb/in", Unit::lbf_per_in},
    Spelling{"lbs/in", Unit::lbf_per_in},
    Spelling{"lb/inch", Unit::lbf_per_in},
    Spelling{"n", Unit::newton},
    Spelling{"lbf", Unit::lbf},
    Spelling{"lb", Unit::lbf},
    Spelling{"lbs", Unit::lbf},
    Spelling{"kgf", Unit::kgf},
    Spelling{"kg", Unit::kgf},
    Spelling{"kg", Unit::kg},
    Spelling{"lb", Unit::lb},
    Spelling{"lbs", Unit::lb},
    Spelling{"°", Unit::degree},
    Spelling{"deg", Unit::degree},
    Spelling{"bar", Unit::bar},
    Spelling{"psi", Unit::psi},
    Spelling{"kpa", Unit::kpa},
    Spelling{"turn", Unit::turn},
    Spelling{"turns", Unit::turn},
    Spelling{"click", Unit::click},
    Spelling{"clicks", Unit::click},
    Spelling{"mm/turn", Unit::mm_per_turn},
    Spelling{"in/turn", Unit::inch_per_turn},
    Spelling{"inch/turn", Unit::inch_per_turn},
};

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}
char lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

constexpr std::array<std::string_view, 6> spaces = {" ", "\t", "\n", "\r", "\u00A0", "\u202F"};

// Removes spaces at both ends, including no-break spaces.
std::string_view trimmed(std::string_view text) {
    for (bool again = true; again;) {
        again = false;
        for (const std::string_view space : spaces) {
            if (text.starts_with(space)) text.remove_prefix(space.size()), again = true;
            if (text.ends_with(space)) text.remove_suffix(space.size()), again = true;
        }
    }
    return text;
}

bool is_plain(char c) {
    return static_cast<unsigned char>(c) < 0x80 && c != '\t';
}

std::string in_plain(std::string_view text) {
    if (std::all_of(text.begin(), text.end(), is_plain)) return std::string(text);
    std::string out;
    while (!text.empty()) {
        const auto swap = std::find_if(plain_equivalents.begin(), plain_equivalents.end(),
                                       [&](const Replacement& s) { return text.starts_with(s.from); });
        if (swap == plain_equivalents.end()) {
            out += text.front();
            text.remove_prefix(1);
        } else {
            out += swap->to;
            text.remove_prefix(swap->from.size());
        }
    }
    return out;
}

// Consumes characters from the front of the text. Each `take` leaves the text unchanged if it finds nothing.
struct Cursor {
    std::string_view rest;

    std::string_view take_digits() {
        std::size_t n = 0;
        while (n < rest.size() && is_digit(rest[n])) ++n;
        const std::string_view digits = rest.substr(0, n);
        rest.remove_prefix(n);
        return digits;
    }
    bool take(char c) {
        if (rest.empty() || rest.front() != c) return false;
        rest.remove_prefix(1);
        return true;
    }
    bool take_spaces() {
        bool any = false;
        while (take(' ')) any = true;
        return any;
    }
};

double parsed_number(const std::string& digits) {
    double v = 0.0;
    const auto [end, error] =
        std::from_chars(digits.data(), digits.data() + digits.size(), v, std::chars_format::fixed);
    // 64 bytes of digits cannot overflow a double, so a failure is a bug of the scanner.
    check(error == std::errc() && end == digits.data() + digits.size(), "digits that are no number");
    return v;
}

struct Ratio {
    double value;
    bool proper;
};
// "5/16". nullopt: no fraction, or a division by zero.
std::optional<Ratio> take_fraction(Cursor& at) {
    Cursor trial = at;
    const std::string_view above = trial.take_digits();
    if (above.empty() || !trial.take('/')) return std::nullopt;
    const std::string_view below = trial.take_digits();
    if (below.empty()) return std::nullopt;
    const double num = parsed_number(std::string(above)), den = parsed_number(std::string(below));
    if (den == 0.0) return std::nullopt;
    at = trial;
    return Ratio{num / den, num < den};
}

// The fraction of a mixed number, after its whole part: " 5/16" or "-5/16".
std::optional<double> take_tail(Cursor& at) {
    Cursor trial = at;
    if (!trial.take_spaces() && !trial.take('-')) return std::nullopt;
    const auto fraction = take_fraction(trial);
    if (!fraction || !fraction->proper) return std::nullopt;
    at = trial;
    return fraction->value;
}

std::optional<double> take_unsigned(Cursor& at) {
    if (const auto fraction = take_fraction(at)) return fraction->value;

    std::string number(at.take_digits());
    if (Cursor trial = at; trial.take('.') || trial.take(',')) {
        const std::string_view decimals = trial.take_digits();
        if (decimals.empty()) return std::nullopt;
        at = trial;
        if (number.empty()) number = "0";
        return parsed_number((number += '.').append(decimals));
    }
    if (number.empty()) return std::nullopt;
    return parsed_number(number) + take_tail(at).value_or(0.0);
}

struct Scanned {
    double value;
    std::string_view unit;  // the text after the number
};
// nullopt: the text does not start with a number, or digits follow the number ("1.2.3").
std::optional<Scanned> scan(std::string_view text) {
    Cursor at{text};
    const bool minus = at.take('-');
    if (!minus) at.take('+');
    const auto magnitude = take_unsigned(at);
    if (!magnitude) return std::nullopt;
    at.take_spaces();

    const std::string_view unit = at.rest;
    const bool more_number = std::any_of(unit.begin(), unit.end(), is_digit);
    const bool worded = unit.empty() || is_letter(unit[0]) || unit[0] == '"' || (unit[0] & 0x80) != 0;
    if (more_number || !worded) return std::nullopt;
    // Zero has no sign: typed "-0" is 0.
    return Scanned{minus && *magnitude != 0.0 ? -*magnitude : *magnitude, unit};
}

Result<Unit> unit_spelled(std::string_view text, Unit field) {
    std::string name(text);
    std::transform(name.begin(), name.end(), name.begin(), lower);
    bool known = false;
    for (const Spelling& s : spellings) {
        if (s.text != name) continue;
        if (fits(s.unit, dimension_of(field))) return s.unit;
        known = true;
    }
    return Error{known ? ErrorCode::wrong_unit : ErrorCode::unknown_unit, "", std::string(text)};
}

}  // namespace

Result<Typed> read_typed(std::string_view text, Unit unit) {
    text = trimmed(text);
    if (text.size() > longest_number) return Error{ErrorCode::too_large, "", "64 bytes"};

    const std::string ascii = in_plain(text);
    const auto found = scan(trimmed(ascii));
    if (!found) return Error{ErrorCode::not_a_number, "", std::string(text)};

    if (!found->unit.empty()) {
        const auto spelled = unit_spelled(found->unit, unit);
        if (!spelled) return spelled.error();
        unit = *spelled;
    }
    if (std::fabs(found->value) > largest_number)
        return Error{ErrorCode::out_of_range, "", "-1e9 <= x <= 1e9"};
    return Typed{std::string(text), unit};
}

double typed_value(const Typed& typed) {
    const std::string ascii = in_plain(trimmed(typed.text));
    const auto found = scan(trimmed(ascii));
    check(found.has_value(), "a typed number whose text is no number");
    return found->value;
}

double canonical_value(const Typed& typed) {
    return to_canonical(typed_value(typed), typed.unit);
}

}  // namespace restand
