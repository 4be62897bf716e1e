#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <string>

#include "core/measure/reading.h"

using namespace restand;

namespace {

Reading reading(Point point, std::initializer_list<const char*> texts, Unit unit,
                Instrument instrument = {}) {
    Reading r{point, {}, std::move(instrument), ""};
    for (const char* text : texts) r.repeats.push_back({text, unit});
    return r;
}

Error refusal(const Reading& r) {
    const Outcome outcome = validate(r);
    REQUIRE_FALSE(outcome.has_value());
    return outcome.error();
}

bool close(double a, double b, double tolerance) {
    return std::fabs(a - b) <= tolerance;
}

}  // namespace

TEST_CASE("measured: mean and spread of the repeats, in canonical units") {
    const Measured m = measured(reading(Point::ride_height_rider, {"469,5", "470", "470.2 mm"}, Unit::mm));
    CHECK(close(m.value, 469.9, 1e-12));
    CHECK(close(m.spread, 0.7, 1e-12));
    CHECK(m.repeats == 3);
    CHECK(close(measured(reading(Point::eye_to_eye, {"12 5/16 in"}, Unit::inch)).value, 312.7375, 1e-12));
    // Repeats may be typed in different units.
    Reading mixed = reading(Point::eye_to_eye, {"310"}, Unit::mm);
    mixed.repeats.push_back({"12.2047244094488", Unit::inch});
    CHECK(close(measured(mixed).spread, 0.0, 1e-9));
}

TEST_CASE("measured: equal repeats leave type B alone, known exactly, where no spread was known before") {
    Reading r = reading(Point::eye_to_eye, {"310", "310"}, Unit::mm, {"rule", 0.5, 0.5});
    r.spread = Spread{};
    const Measured m = measured(r);
    CHECK(close(m.u, std::sqrt(0.25 / 12 + 0.25 / 3), 1e-15));
    CHECK(std::isinf(m.dof));
    CHECK(close(expanded_95(m), 1.959963984540054 * m.u, 1e-12));
}

TEST_CASE("measured: a single repeat takes the spread one person usually has") {
    const Reading r = reading(Point::ride_height_static, {"490.3"}, Unit::mm);
    const Measured m = measured(r);
    const Spread usual = usual_spread(Point::ride_height_static);
    CHECK(close(m.u, usual.settled, 1e-12));
    // Welch–Satterthwaite over reading the tape and settling the bike.
    const double tape = std::pow(usual.read, 2), sat = std::pow(usual.settled, 2) - tape;
    CHECK(m.dof == doctest::Approx(usual_spread_dof * std::pow(tape + sat, 2) / (tape * tape + sat * sat))
                       .epsilon(1e-12));
    CHECK(m.spread == 0.0);
}

TEST_CASE("measured: repeats are pooled with the spread known before (GUM 4.2.4)") {
    // ν₀ = 8, s₀ = 0.5; 309 and 310: Σ(x − x̄)² = 0.5, so s² = (8 · 0.25 + 0.5)/9, u² = s²/2.
    Reading r = reading(Point::eye_to_eye, {"309", "310"}, Unit::mm);
    r.spread = Spread{0.5, 8, 0.5, 8};
    const Measured m = measured(r);
    CHECK(close(m.u, std::sqrt(2.5 / 9 / 2), 1e-12));
    CHECK(close(m.dof, 9, 1e-9));
}

TEST_CASE("measured: settled anew, the mean says how the bike settles; read again as it sat, it does not") {
    Reading r = reading(Point::ride_height_rider, {"470", "471", "469"}, Unit::mm);
    r.spread = Spread{0.5, 8, 1.3, 8};
    // As it sat: s² = (8 · 0.25 + 2)/10 over three repeats, and the whole of how the rider sat, 1.69 − 0.25.
    CHECK(close(measured(r).u, std::sqrt(0.4 / 3 + 1.44), 1e-12));
    r.settled_anew = true;
    // Each time anew: s² = (8 · 1.69 + 2)/10 over three repeats, and nothing is shared.
    CHECK(close(measured(r).u, std::sqrt(1.552 / 3), 1e-12));
    CHECK(close(measured(r).dof, 10, 1e-9));
}

TEST_CASE("measured: a second reading within what one person scatters never widens the interval") {
    for (const Point point : {Point::ride_height_topped_out, Point::ride_height_static,
                              Point::ride_height_rider, Point::eye_to_eye, Point::chain_slack}) {
        CAPTURE(facts(point).key);
        const double spread = usual_spread(point).settled;
        for (const bool anew : {false, true})
            for (const double apart : {0.0, 0.5, 1.0, 1.4}) {
                Reading r = reading(point, {"40"}, Unit::mm, usual_instrument(point));
                const double once = expanded_95(measured(r));
                r.repeats.push_back({print_fixed(40 + apart * spread, 6), Unit::mm});
                r.settled_anew = anew && is_settled(point);
                CHECK(expanded_95(measured(r)) <= once);
            }
    }
}

TEST_CASE("validate: settled anew is for heights and wheel weights; a spread is no less than reading alone") {
    Reading r = reading(Point::eye_to_eye, {"309", "310"}, Unit::mm);
    r.settled_anew = true;
    CHECK(validate(r).error().subject == "eye_to_eye.settled_anew");
    r = reading(Point::ride_height_rider, {"469", "470"}, Unit::mm);
    r.settled_anew = true;
    CHECK(validate(r).has_value());
    r.spread = Spread{1.0, 8, 0.5, 8};
    CHECK(validate(r).error().subject == "ride_height_rider.spread");
    r.spread = Spread{-1.0, 8, 0.5, 8};
    CHECK(validate(r).error().subject == "ride_height_rider.spread");
}

TEST_CASE("measured: more equal-spread repeats never make the expanded uncertainty larger") {
    double before = std::numeric_limits<double>::infinity();
    Reading r = reading(Point::ride_height_rider, {"470", "471"}, Unit::mm, {"tape", 1.0, 1.0});
    for (int n = 2; n <= 20; n += 2) {
        const double now = expanded_95(measured(r));
        CHECK(now < before);
        before = now;
        r.repeats.push_back({"470", Unit::mm});
        r.repeats.push_back({"471", Unit::mm});
    }
    // But never below the uncertainty of the tape itself.
    CHECK(before > 1.96 * std::sqrt(1.0 / 12 + 1.0 / 3));
}

TEST_CASE("measured: effective degrees of freedom lie between those of the repeats and infinity") {
    for (double accuracy : {0.0, 0.1, 1.0, 10.0}) {
        Reading r =
            reading(Point::ride_height_rider, {"470", "471", "469"}, Unit::mm, {"tape", 0.0, accuracy});
        r.spread = Spread{};
        const Measured m = measured(r);
        CHECK(m.dof >= 2.0 - 1e-12);
        if (accuracy == 0.0) CHECK(close(m.dof, 2.0, 1e-12));
        // u² = 1/3 + a²/3 and ν = 2·(u²/(1/3))².
        CHECK(m.dof == doctest::Approx(2.0 * std::pow(1.0 + accuracy * accuracy, 2)).epsilon(1e-12));
    }
}

TEST_CASE("measured: tiny spreads on a large mean are not lost to rounding") {
    Reading r = reading(Point::fork_length, {"1999.0001", "1999.0002", "1999.0003"}, Unit::mm);
    r.spread = Spread{};
    const Measured m = measured(r);
    // Spacing of doubles near 2000 is 2.3e-13.
    CHECK(close(m.u, 1e-4 / std::sqrt(3.0), 1e-12));
}

TEST_CASE("coverage_95: falls with the degrees of freedom down to the normal's") {
    double before = std::numeric_limits<double>::infinity();
    for (double dof = 1.0; dof < 1e12; dof *= 1.37) {
        const double t = coverage_95(dof);
        CHECK(t < before + 1e-12);
        CHECK(t >= 1.959963984540054 - 1e-9);
        before = t;
    }
    CHECK(close(before, coverage_95(std::numeric_limits<double>::infinity()), 1e-9));
}

TEST_CASE("usual practice: every measured point has an instrument that adds up to some uncertainty") {
    for (const PointFacts& f : all_points()) {
        CAPTURE(f.key);
        const Instrument i = usual_instrument(f.point);
        CHECK_FALSE(i.name.empty());
        const bool exact = f.dimension == Dimension::count || f.dimension == Dimension::text;
        CHECK((i.resolution + i.accuracy > 0.0) != exact);
        CHECK(usual_spread(f.point).read >= 0.0);
        CHECK((usual_spread(f.point).settled > usual_spread(f.point).read) == is_settled(f.point));
    }
    // Tape ±1, rule ±0.5, calliper ±0.05 (P-23, common practice, no source).
    CHECK(usual_instrument(Point::ride_height_rider).accuracy == 1.0);
    CHECK(usual_instrument(Point::eye_to_eye).accuracy == 0.5);
    CHECK(usual_instrument(Point::spring_free_length).accuracy == 0.05);
}

TEST_CASE("usual practice: a marked spring rate is sure to a share of itself") {
    // S-22, common practice, no source: ±3…±5 %, here ±4 %.
    CHECK(close(usual_instrument(Point::spring_rate, 95.0).accuracy, 3.8, 1e-12));
    CHECK(close(usual_instrument(Point::spring_rate, 9.5).accuracy, 0.38, 1e-12));
    CHECK(usual_instrument(Point::spring_rate).accuracy > 0.0);
    CHECK(usual_instrument(Point::gas_force, 0.0).accuracy == 0.0);
}

TEST_CASE("validate: good readings pass, also at the limits") {
    CHECK(validate(reading(Point::eye_to_eye, {"312,5", "12 5/16 in"}, Unit::mm)).has_value() == false);
    CHECK(validate(reading(Point::eye_to_eye, {"312,5", "312.4 mm"}, Unit::mm)).has_value());
    CHECK(validate(reading(Point::eye_to_eye, {"12 5/16 in"}, Unit::inch)).has_value());
    CHECK(validate(reading(Point::ride_height_rider, {"0"}, Unit::mm)).has_value());
    CHECK(validate(reading(Point::ride_height_rider, {"2000"}, Unit::mm)).has_value());
    CHECK(validate(reading(Point::clicks_rebound_low, {"12.5"}, Unit::click)).has_value());
    CHECK(validate(reading(Point::spring_rate, {"540 lb/in"}, Unit::lbf_per_in)).has_value());
    CHECK(validate(reading(Point::gas_force, {"15 kg"}, Unit::kgf)).has_value());
    CHECK(validate(reading(Point::tyre, {"rear 200/60, medium"}, Unit::one)).has_value());
}

TEST_CASE("validate: names the reading, the repeat and what is wrong with it") {
    CHECK(refusal(reading(Point::eye_to_eye, {}, Unit::mm)) ==
          Error{ErrorCode::missing, "eye_to_eye.repeats", "at least one"});
    CHECK(refusal(reading(Point::eye_to_eye, {"310", "31o"}, Unit::mm)).code == ErrorCode::unknown_unit);
    CHECK(refusal(reading(Point::eye_to_eye, {"310", "nan"}, Unit::mm)) ==
          Error{ErrorCode::not_a_number, "eye_to_eye.repeats[1]", "nan"});
    CHECK(refusal(reading(Point::eye_to_eye, {"-310"}, Unit::mm)) ==
          Error{ErrorCode::out_of_range, "eye_to_eye.repeats[0]", "1.0 <= x <= 2000.0 mm"});
    CHECK(refusal(reading(Point::ride_height_rider, {"79"}, Unit::inch)).detail == "0.000 <= x <= 78.740 in");
    CHECK(refusal(reading(Point::spring_rate, {"0"}, Unit::n_per_mm)).detail == "0 < x <= 2000.0 N/mm");
    CHECK(refusal(reading(Point::eye_to_eye, {"310"}, Unit::newton)).code == ErrorCode::wrong_unit);
    CHECK(refusal(reading(Point::sprocket_rear, {"42.5"}, Unit::one)).detail == "whole number");
    CHECK(refusal(reading(Point::sprocket_rear, {"4"}, Unit::one)).code == ErrorCode::out_of_range);
    // The unit in the text and the unit beside it must be the same.
    CHECK(refusal(reading(Point::spring_rate, {"540 lb/in"}, Unit::n_per_mm)).code == ErrorCode::wrong_unit);
}

TEST_CASE("validate: an instrument with a negative or endless scale is refused") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    CHECK(refusal(reading(Point::eye_to_eye, {"310"}, Unit::mm, {"", -0.1, 0})).subject ==
          "eye_to_eye.instrument.resolution");
    CHECK(refusal(reading(Point::eye_to_eye, {"310"}, Unit::mm, {"", 0, nan})).subject ==
          "eye_to_eye.instrument.accuracy");
}

TEST_CASE("validate: a name is one repeat of 1 to 80 bytes; more than a thousand repeats are too many") {
    CHECK(refusal(reading(Point::tyre, {""}, Unit::one)).code == ErrorCode::missing);
    CHECK(refusal(reading(Point::tyre, {"a", "b"}, Unit::one)).code == ErrorCode::too_large);
    CHECK(refusal(reading(Point::tyre, {"a"}, Unit::mm)).code == ErrorCode::wrong_unit);
    CHECK(validate(reading(Point::tyre, {std::string(80, 'x').c_str()}, Unit::one)).has_value());
    CHECK(refusal(reading(Point::tyre, {std::string(81, 'x').c_str()}, Unit::one)).code ==
          ErrorCode::too_large);
    Reading many = reading(Point::eye_to_eye, {}, Unit::mm);
    many.repeats.assign(1001, {"310", Unit::mm});
    CHECK(refusal(many).code == ErrorCode::too_large);
}
