#pragma once
// Strong types for physical quantities: the compiler tells a length from a force.
// conversions.h makes them of numbers and gives the numbers back.
//
// Canonical units: mm, N, rad, kg, s. So rate is N/mm, pressure N/mm² (MPa), torque N·mm, power N·mm/s.
// The header that uses a quantity defines its sign.

#include <cmath>
#include <compare>

namespace restand {

// Exponents of length, force, angle, mass and time.
template <int L, int F, int A, int M, int T>
struct Quantity {
    double value = 0.0;

    constexpr Quantity() = default;
    constexpr explicit Quantity(double canonical) : value(canonical) {}

    friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity(a.value + b.value); }
    friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity(a.value - b.value); }
    friend constexpr Quantity operator-(Quantity a) { return Quantity(-a.value); }
    friend constexpr Quantity operator*(Quantity a, double s) { return Quantity(a.value * s); }
    friend constexpr Quantity operator*(double s, Quantity a) { return Quantity(s * a.value); }
    friend constexpr Quantity operator/(Quantity a, double s) { return Quantity(a.value / s); }
    constexpr Quantity& operator+=(Quantity b) { return value += b.value, *this; }
    constexpr Quantity& operator-=(Quantity b) { return value -= b.value, *this; }
    friend constexpr auto operator<=>(Quantity a, Quantity b) = default;
};

// A product or quotient without dimension is a plain double.
template <int L, int F, int A, int M, int T>
constexpr auto quantity_of(double v) {
    if constexpr (L == 0 && F == 0 && A == 0 && M == 0 && T == 0)
        return v;
    else
        return Quantity<L, F, A, M, T>(v);
}

template <int L, int F, int A, int M, int T, int L2, int F2, int A2, int M2, int T2>
constexpr auto operator*(Quantity<L, F, A, M, T> a, Quantity<L2, F2, A2, M2, T2> b) {
    return quantity_of<L + L2, F + F2, A + A2, M + M2, T + T2>(a.value * b.value);
}
template <int L, int F, int A, int M, int T, int L2, int F2, int A2, int M2, int T2>
constexpr auto operator/(Quantity<L, F, A, M, T> a, Quantity<L2, F2, A2, M2, T2> b) {
    return quantity_of<L - L2, F - F2, A - A2, M - M2, T - T2>(a.value / b.value);
}

using Length = Quantity<1, 0, 0, 0, 0>;
using Area = Quantity<2, 0, 0, 0, 0>;
using Volume = Quantity<3, 0, 0, 0, 0>;
using Force = Quantity<0, 1, 0, 0, 0>;
using Rate = Quantity<-1, 1, 0, 0, 0>;      // force per length
using Pressure = Quantity<-2, 1, 0, 0, 0>;  // force per area
using Torque = Quantity<1, 1, 0, 0, 0>;
using Power = Quantity<1, 1, 0, 0, -1>;
using Angle = Quantity<0, 0, 1, 0, 0>;
using Mass = Quantity<0, 0, 0, 1, 0>;

inline double sin(Angle a) { return std::sin(a.value); }
inline double cos(Angle a) { return std::cos(a.value); }
inline double tan(Angle a) { return std::tan(a.value); }
template <int L, int F, int A, int M, int T>
inline Quantity<L, F, A, M, T> abs(Quantity<L, F, A, M, T> q) {
    return Quantity<L, F, A, M, T>(std::fabs(q.value));
}
template <int L, int F, int A, int M, int T>
inline bool is_finite(Quantity<L, F, A, M, T> q) {
    return std::isfinite(q.value);
}

}  // namespace restand
