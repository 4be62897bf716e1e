#pragma once
// Points and vectors in the bike's plane, for the numeric kernels: mm, x forward, z up (sense of ISO 8855).
// S is double or a number that carries derivatives.
//
//   z ^    turned(p, a): rotated by +a, from x towards z, so the front rises
//     |
//     +---> x

#include <cmath>

#include "core/quantity/quantity.h"

namespace restand {

// Frame axes: origin at the swingarm pivot. Arm axes: the frame axes turned by the droop. Same origin, x from
// axle to pivot, so the axle is at (−L, 0).
struct PlanePoint {
    Length x, z;
    friend bool operator==(const PlanePoint&, const PlanePoint&) = default;
};

template <class S>
struct Vec {
    S x, z;
    friend Vec operator+(const Vec& a, const Vec& b) { return {S(a.x + b.x), S(a.z + b.z)}; }
    friend Vec operator-(const Vec& a, const Vec& b) { return {S(a.x - b.x), S(a.z - b.z)}; }
    friend Vec operator*(const S& s, const Vec& v) { return {S(s * v.x), S(s * v.z)}; }
};

template <class S>
S dot(const Vec<S>& a, const Vec<S>& b) {
    return S(a.x * b.x + a.z * b.z);
}
template <class S>
S cross(const Vec<S>& a, const Vec<S>& b) {
    return S(a.x * b.z - a.z * b.x);
}
// Rotated by 90° from x towards z.
template <class S>
Vec<S> left_of(const Vec<S>& v) {
    return {S(-v.z), v.x};
}
template <class S>
S length_of(const Vec<S>& v) {
    using std::sqrt;
    return S(sqrt(dot(v, v)));
}
template <class S>
Vec<S> turned(const Vec<S>& v, const S& angle) {
    using std::cos, std::sin;
    const S c = cos(angle), s = sin(angle);
    return {S(c * v.x - s * v.z), S(s * v.x + c * v.z)};
}
template <class S>
Vec<S> vec(const PlanePoint& p) {
    return {S(p.x.value), S(p.z.value)};
}

}  // namespace restand
