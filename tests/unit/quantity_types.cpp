#include <doctest/doctest.h>

#include <limits>
#include <type_traits>

#include "core/quantity/conversions.h"
#include "core/quantity/result.h"

using namespace restand;

namespace {
template <class A, class B>
concept addable = requires(A a, B b) {
    a + b;
};
template <class A, class B>
concept subtractable = requires(A a, B b) {
    a - b;
};
template <class A, class B>
concept comparable = requires(A a, B b) {
    a < b;
};
template <class A>
concept has_sine = requires(A a) {
    sin(a);
};
}  // namespace

// These must not compile.
static_assert(!addable<Length, Force>);
static_assert(!addable<Length, double>);
static_assert(!addable<Rate, Pressure>);
static_assert(!subtractable<Torque, Length>);
static_assert(!comparable<Length, Force>);
static_assert(!comparable<Length, double>);
static_assert(!has_sine<Length>);
static_assert(!std::is_convertible_v<double, Length>);
static_assert(!std::is_convertible_v<Length, double>);
static_assert(!std::is_convertible_v<Length, Force>);
static_assert(!std::is_assignable_v<Length&, double>);
static_assert(!std::is_default_constructible_v<Result<int>>, "a result is a value or an error");

// These must compile.
static_assert(addable<Length, Length> && comparable<Force, Force> && has_sine<Angle>);
static_assert(std::is_same_v<decltype(Rate{} * Length{}), Force>);
static_assert(std::is_same_v<decltype(Force{} / Area{}), Pressure>);
static_assert(std::is_same_v<decltype(Pressure{} * Area{}), Force>);
static_assert(std::is_same_v<decltype(Force{} * Length{}), Torque>);
static_assert(std::is_same_v<decltype(Length{} / Length{}), double>);
static_assert(sizeof(Length) == sizeof(double), "a quantity costs nothing");

TEST_CASE("quantity: each unit goes in and comes out as the same number") {
    CHECK(in_mm(mm(12.5)) == 12.5);
    CHECK(in_newton(newton_per_mm(95.0) * mm(12.0)) == 1140.0);
    CHECK(in_newton_per_mm(newton(950.0) / mm(10.0)) == 95.0);
    CHECK(in_degrees(degrees(24.0)) == doctest::Approx(24.0).epsilon(1e-15));
    CHECK(in_radians(degrees(180.0)) == pi);
}

TEST_CASE("quantity: signs, order and finiteness are those of the number") {
    Length l = mm(3.0);
    l += mm(2.0);
    l -= mm(10.0);
    CHECK(l == mm(-5.0));
    CHECK(abs(l) == mm(5.0));
    CHECK(-l == mm(5.0));
    CHECK(l < mm(0.0));
    CHECK(2.0 * l == l + l);
    CHECK(is_finite(l));
    CHECK_FALSE(is_finite(mm(std::numeric_limits<double>::quiet_NaN())));
    CHECK_FALSE(is_finite(l / 0.0));
}

TEST_CASE("result: holds the value or the error, and value_or fills in") {
    const Result<int> good = 7;
    const Result<int> bad = Error{ErrorCode::missing, "spring.rate", ""};
    CHECK(good.has_value());
    CHECK(*good == 7);
    CHECK_FALSE(bad.has_value());
    CHECK(bad.error().code == ErrorCode::missing);
    CHECK(bad.error().subject == "spring.rate");
    CHECK(bad.value_or(3) == 3);
}
