#include "core/measure/reading.h"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

namespace restand {
namespace {

constexpr std::size_t most_repeats = 1000;

// Usual instrument and spread at a point, canonical units. Common practice, no source: P-17 for the gauge,
// P-23 for tape, rule and calliper. The tape's spread: P-23 gives ±1 mm between readers, taken as two
// standard deviations. The other spreads are judgement.
struct Practice {
    const char* instrument;
    double resolution, accuracy;
    double spread;
};
constexpr Practice tape = {"tape", 1.0, 1.0, 0.5};
constexpr Practice length_rule = {"rule", 0.5, 0.5, 0.25};
constexpr Practice calliper = {"calliper", 0.01, 0.05, 0.1};
constexpr Practice ten_turns = {"calliper over ten turns", 0.001, 0.005, 0.005};
constexpr Practice slack_rule = {"rule", 1.0, 0.5, 1.0};
constexpr Practice gauge = {"pressure gauge", 0.001, 0.005, 0.002};
constexpr Practice by_hand = {"counted by hand", 1.0, 0.0, 0.0};
constexpr Practice collar_turns = {"turns of the collar", 0.25, 0.0, 0.15};
constexpr Practice filled = {"as filled", 0.5, 0.5, 0.2};
constexpr Practice scales = {"scales", 0.5, 0.5, 0.3};
constexpr Practice thermometer = {"thermometer", 1.0, 2.0, 1.0};
constexpr Practice as_filled_gas = {"as stated", 1000.0, 5000.0, 0.0};
constexpr Practice counted = {"counted", 0.0, 0.0, 0.0};
constexpr Practice as_marked = {"as marked", 0.0, 0.0, 0.0};
// The accuracy of these two is a fraction of the value: see accuracy_at().
constexpr Practice marked_rate = {"as marked", 0.1, 0.0, 0.0};
constexpr Practice stated_force = {"as stated", 10.0, 0.0, 0.0};

const Practice& practice(Point point) {
    switch (point) {
        case Point::ride_height_topped_out:
        case Point::ride_height_static:
        case Point::ride_height_rider:
        case Point::ride_height_lifted:
        case Point::ride_height_pressed:
        case Point::fork_length:
        case Point::rolling_circumference:
            return tape;
        case Point::eye_to_eye:
        case Point::eye_to_eye_min:
        case Point::eye_to_eye_max:
        case Point::travel:
        case Point::chain_gauge_length:
        case Point::fork_oil_level:
        case Point::fitted_mass_ahead:
        case Point::top_out_reach:
        case Point::bump_travel:
        case Point::rate_rises_from:
        case Point::rate_rises_to:
            return length_rule;
        case Point::length_mm_per_turn:
        case Point::collar_mm_per_turn:
            return ten_turns;
        case Point::fork_position:
        case Point::fork_position_min:
        case Point::fork_position_max:
        case Point::spring_free_length:
        case Point::spring_installed_length:
        case Point::spring_block_length:
        case Point::axle_position:
        case Point::link_rod:
        case Point::fork_bore:
        case Point::spring_preload:
        case Point::helper_free_length:
        case Point::helper_block_length:
        case Point::rod_diameter:
            return calliper;
        case Point::preload_turns:
            return collar_turns;
        case Point::fuel:
            return filled;
        case Point::rider_mass:
        case Point::wheel_weight:
        case Point::fitted_mass:
        case Point::unsprung_mass:
            return scales;
        case Point::damper_temperature:
            return thermometer;
        case Point::gas_volume:
            return as_filled_gas;
        case Point::gas_force:
            return stated_force;
        case Point::spring_rate:
        case Point::helper_rate:
        case Point::other_leg_rate:
        case Point::top_out_rate:
        case Point::bump_rate:
        case Point::end_rate:
            return marked_rate;
        case Point::clicks_compression_low:
        case Point::clicks_compression_high:
        case Point::clicks_rebound_low:
        case Point::clicks_rebound_high:
            return by_hand;
        case Point::chain_slack:
            return slack_rule;
        case Point::tyre_pressure_cold:
        case Point::tyre_pressure_hot:
            return gauge;
        case Point::sprocket_front:
        case Point::sprocket_rear:
        case Point::chain_links:
        case Point::chain_gauge_links:
        case Point::spring_moved:
            return counted;
        case Point::tyre:
        case Point::part_name:
            return as_marked;
        case Point::count_:
            break;
    }
    check(false, "point outside its enumerators");
    return counted;
}

// A marked rate is accurate to ±4 % (S-22), a stated gas force to ±10 % (judgement); both common practice, no
// source. The default value is that of a typical rear shock: too wide for a fork spring, which is better than
// too narrow for a shock spring.
double accuracy_at(Point point, std::optional<double> value) {
    if (point == Point::spring_rate || point == Point::other_leg_rate || point == Point::end_rate)
        return 0.04 * std::fabs(value.value_or(95.0));
    // Short springs and rubber are stamped less well (judgement).
    if (point == Point::helper_rate || point == Point::top_out_rate || point == Point::bump_rate)
        return 0.10 * std::fabs(value.value_or(50.0));
    if (point == Point::gas_force) return 0.10 * std::fabs(value.value_or(200.0));
    return practice(point).accuracy;
}

// What a height comes back differently by, when the bike is lifted or pushed down and let settle, or the rider
// gets off and on. Judgement, no source.
double settling(Point point) {
    switch (point) {
        case Point::ride_height_topped_out:
            return 0.2;
        case Point::ride_height_static:
        case Point::ride_height_lifted:
        case Point::ride_height_pressed:
        case Point::wheel_weight:
            return 0.4;
        case Point::ride_height_rider:
            return 0.7;
        default:
            return 0.0;
    }
}

constexpr std::size_t longest_text = 80;

// A text point: one repeat, as marked on the part.
Outcome validate_text(const Reading& reading, const std::string& key) {
    const Typed& name = reading.repeats.front();
    if (reading.repeats.size() > 1) return Error{ErrorCode::too_large, key + ".repeats", "1"};
    if (name.unit != Unit::one)
        return Error{ErrorCode::wrong_unit, key + ".repeats[0]", std::string(symbol(name.unit))};
    if (name.text.empty()) return Error{ErrorCode::missing, key + ".repeats[0]", "1 to 80 bytes"};
    if (name.text.size() > longest_text)
        return Error{ErrorCode::too_large, key + ".repeats[0]", "1 to 80 bytes"};
    return Done{};
}

bool is_scale(double v) {
    return std::isfinite(v) && v >= 0.0;
}

std::string limits_in(const PointFacts& f, Unit unit) {
    std::string text = print_in(f.hard_min, unit);
    // A minimum rate of 0.01 N/mm would print as 0.0, but 0.0 is refused: print "0 <" instead.
    const bool hidden = f.hard_min > 0.0 && text.find_first_not_of("0.") == std::string::npos;
    text = (hidden ? "0 < x <= " : text + " <= x <= ") + print_in(f.hard_max, unit);
    if (!symbol(unit).empty()) text.append(" ").append(symbol(unit));
    return text;
}

Outcome validate_repeat(const Typed& typed, const PointFacts& f, const std::string& subject) {
    if (!fits(typed.unit, f.dimension))
        return Error{ErrorCode::wrong_unit, subject, std::string(symbol(typed.unit))};
    // In a file the unit can contradict the unit in the text. Accept only text that parses back to itself.
    const auto again = read_typed(typed.text, typed.unit);
    if (!again) return Error{again.error().code, subject, again.error().detail};
    if (again->unit != typed.unit) return Error{ErrorCode::wrong_unit, subject, typed.text};

    const double value = canonical_value(typed);
    if (value < f.hard_min || value > f.hard_max)
        return Error{ErrorCode::out_of_range, subject, limits_in(f, typed.unit)};
    if (f.dimension == Dimension::count && value != std::floor(value))
        return Error{ErrorCode::out_of_range, subject, "whole number"};
    return Done{};
}

// Of the mean: the variance from scatter, and Σ variance²/dof of its parts.
struct TypeA {
    double variance = 0.0, quartic_by_dof = 0.0;
    void add(double part, double dof) {
        if (part <= 0.0 || dof <= 0.0) return;
        variance += part;
        quartic_by_dof += part * part / dof;
    }
};

// `squares`: Σ(xᵢ − x̄)² of the repeats.
TypeA type_a(const Reading& reading, double squares) {
    const Spread known = reading.spread.value_or(usual_spread(reading.point));
    const auto n = static_cast<double>(reading.repeats.size());
    const bool anew = reading.settled_anew && n > 1;
    const double s0 = anew ? known.settled : known.read, dof0 = anew ? known.settled_dof : known.read_dof;
    const double dof = dof0 + n - 1;
    TypeA a;
    if (dof > 0.0) a.add((dof0 * s0 * s0 + squares) / dof / n, dof);
    if (!anew) a.add(known.settled * known.settled - known.read * known.read, known.settled_dof);
    return a;
}

}  // namespace

Instrument usual_instrument(Point point, std::optional<double> value) {
    const Practice& p = practice(point);
    return {p.instrument, p.resolution, accuracy_at(point, value)};
}

Spread usual_spread(Point point) {
    const double read = practice(point).spread, dof = read > 0.0 ? usual_spread_dof : 0.0;
    return {read, dof, std::hypot(read, settling(point)), dof};
}

bool is_settled(Point point) {
    return settling(point) > 0.0;
}

Measured measured(const Reading& reading) {
    check(!reading.repeats.empty(), "a reading without repeats");
    check(!is_text(reading.point), "a name is not measured");
    const auto n = static_cast<double>(reading.repeats.size());

    // Mean relative to the first repeat: repeats are close together, so there is no cancellation error.
    const double first = canonical_value(reading.repeats.front());
    double sum = 0.0, low = first, high = first;
    for (const Typed& typed : reading.repeats) {
        const double v = canonical_value(typed);
        sum += v - first;
        low = std::min(low, v);
        high = std::max(high, v);
    }
    const double mean = first + sum / n;

    double squares = 0.0;
    for (const Typed& typed : reading.repeats) squares += std::pow(canonical_value(typed) - mean, 2);
    const TypeA a = type_a(reading, squares);

    // Type B: resolution ±δ/2 and accuracy ±a, both with rectangular distribution.
    const double type_b =
        std::pow(reading.instrument.resolution, 2) / 12.0 + std::pow(reading.instrument.accuracy, 2) / 3.0;

    // Welch–Satterthwaite, infinite dof for type B: ν = u⁴ / Σ(u_A⁴/ν_A).
    const double variance = a.variance + type_b;
    const double dof = a.quartic_by_dof > 0.0 ? variance * variance / a.quartic_by_dof : infinite_dof;
    const double common = reading.instrument.accuracy / std::sqrt(3.0);
    return {mean, std::sqrt(variance), dof, high - low, static_cast<int>(reading.repeats.size()), common};
}

double coverage_95(double dof) {
    check(dof > 0.0, "coverage without degrees of freedom");
    // Φ⁻¹(0.975); GUM table G.1 prints 1.960.
    if (std::isinf(dof)) return 1.959963984540054;
    using namespace boost::math::policies;
    // No exceptions from Boost; no promotion to long double, which would only cost time.
    using Quiet = policy<promote_double<false>, overflow_error<ignore_error>, evaluation_error<ignore_error>>;
    return quantile(complement(boost::math::students_t_distribution<double, Quiet>(dof), 0.025));
}

double expanded_95(const Measured& m) {
    return m.u > 0.0 ? coverage_95(m.dof) * m.u : 0.0;
}

bool same_value(const Reading& a, const Reading& b) {
    if (is_text(a.point)) return a.repeats.back().text == b.repeats.back().text;
    return std::fabs(measured(a).value - measured(b).value) < 1e-9;
}

bool same_stamp(double a, double b) {
    return std::fabs(a - b) <= 0.005 * std::max(std::fabs(a), std::fabs(b));
}

Measured without_common(const Measured& m) {
    const double whole = m.u * m.u, own = std::max(0.0, whole - m.common * m.common);
    Measured less = m;
    less.u = std::sqrt(own);
    less.common = 0.0;
    // Welch–Satterthwaite again: the part with few degrees of freedom is now a larger share.
    if (whole > 0.0) less.dof = std::max(1.0, m.dof * std::pow(own / whole, 2));
    return less;
}

Outcome validate(const Reading& reading) {
    const PointFacts& f = facts(reading.point);
    const std::string key(f.key);
    if (reading.repeats.empty()) return Error{ErrorCode::missing, key + ".repeats", "at least one"};
    if (reading.repeats.size() > most_repeats)
        return Error{ErrorCode::too_large, key + ".repeats", std::to_string(most_repeats)};
    if (!is_scale(reading.instrument.resolution))
        return Error{ErrorCode::out_of_range, key + ".instrument.resolution", "0 <= x"};
    if (!is_scale(reading.instrument.accuracy))
        return Error{ErrorCode::out_of_range, key + ".instrument.accuracy", "0 <= x"};

    if (reading.settled_anew && !is_settled(reading.point))
        return Error{ErrorCode::contradiction, key + ".settled_anew", "only a height or a wheel weight"};
    if (const auto& s = reading.spread)
        if (!is_scale(s->read) || !is_scale(s->read_dof) || !is_scale(s->settled_dof) ||
            !is_scale(s->settled) || s->settled < s->read)
            return Error{ErrorCode::out_of_range, key + ".spread", "0 <= read <= settled"};

    if (f.dimension == Dimension::text) return validate_text(reading, key);
    for (std::size_t i = 0; i < reading.repeats.size(); ++i) {
        const std::string subject = key + ".repeats[" + std::to_string(i) + "]";
        if (const Outcome outcome = validate_repeat(reading.repeats[i], f, subject); !outcome) return outcome;
    }
    return Done{};
}

}  // namespace restand
