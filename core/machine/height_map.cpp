#include "core/machine/height_map.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/machine/linkage_kernel.h"
#include "core/quantity/conversions.h"

// Invariant: knots_ is empty or holds at least two knots that rise in l and h. Between them
// h' >= least_leverage, so the map has an inverse and a motion ratio everywhere.

namespace restand {
namespace {

constexpr double ratio_min = 0.3, ratio_max = 6.0;
constexpr double least_leverage = 0.1;  // below this the motion ratio is meaningless
// mm. A length computed from a height may miss the end of the table by rounding; this much is tolerated.
constexpr double map_end_rounding = 1e-9;

// One-sided end slope from three points, limited to between 1/3 and 3 times the secant. Up to 3 times, the
// cubic stays monotone (Fritsch & Carlson 1980). A slope above 0 keeps the motion ratio finite.
double end_slope(double d0, double d1, double s0, double s1) {
    const double slope = ((2.0 * d0 + d1) * s0 - d0 * s1) / (d0 + d1);
    return std::clamp(slope, s0 / 3.0, 3.0 * s0);
}

// Weighted harmonic mean of the neighbouring secants (Fritsch & Butland 1984).
double inner_slope(double d0, double d1, double s0, double s1) {
    const double w0 = 2.0 * d1 + d0, w1 = d1 + 2.0 * d0;
    return (w0 + w1) / (w0 / s0 + w1 / s1);
}

// Smallest dh/dl of one cubic: at an end, or at its inflection point.
double least_slope(double secant, double left, double right) {
    double least = std::min(left, right);
    const double bend = left + right - 2.0 * secant;  // h' = left + 2t(3·secant − 2·left − right) + 3t²·bend
    if (bend > 0.0) {
        const double t = (2.0 * left + right - 3.0 * secant) / (3.0 * bend);
        if (t > 0.0 && t < 1.0) least = std::min(least, left - 3.0 * bend * t * t);
    }
    return least;
}

Error pair_error(ErrorCode code, std::size_t index, std::string why) {
    return Error{code, "map.pairs", "pair " + std::to_string(index + 1) + ": " + std::move(why)};
}

Error off_the_map(double low, double high) {
    char text[96];
    std::snprintf(text, sizeof text, "off the map: %.2f to %.2f mm", low, high);
    return Error{ErrorCode::no_solution, "map", text};
}

}  // namespace

Result<HeightMap> HeightMap::leverage(double ratio) {
    if (!std::isfinite(ratio)) return Error{ErrorCode::not_a_number, "map.leverage", "0.3 < r < 6"};
    if (ratio <= ratio_min || ratio >= ratio_max)
        return Error{ErrorCode::out_of_range, "map.leverage", "0.3 < r < 6"};
    HeightMap map;
    map.ratio_ = ratio;
    return map;
}

Result<HeightMap> HeightMap::pairs(const std::vector<std::pair<Length, Length>>& length_height) {
    const std::size_t n = length_height.size();
    if (n < 2) return Error{ErrorCode::missing, "map.pairs", "at least 2 pairs, 4 for a curved map"};
    HeightMap map;
    for (std::size_t i = 0; i < n; ++i) {
        const double l = length_height[i].first.value, h = length_height[i].second.value;
        if (!std::isfinite(l) || !std::isfinite(h))
            return pair_error(ErrorCode::not_a_number, i, "not finite");
        if (l <= 0.0 || l > 2000.0) return pair_error(ErrorCode::out_of_range, i, "0 < length <= 2000");
        if (std::fabs(h) > 5000.0) return pair_error(ErrorCode::out_of_range, i, "height within 5000");
        map.knots_.push_back({l, h, 0.0});
        if (i == 0) continue;
        const Knot& before = map.knots_[i - 1];
        if (l <= before.l) return pair_error(ErrorCode::not_sorted, i, "length does not rise");
        if (h <= before.h) return pair_error(ErrorCode::not_monotone, i, "height does not rise");
        const double secant = (h - before.h) / (l - before.l);
        if (secant <= ratio_min || secant >= ratio_max)
            return pair_error(ErrorCode::out_of_range, i, "0.3 < leverage < 6 from the pair before");
    }
    // Slope at each knot, from the secants on either side.
    auto& k = map.knots_;
    const auto gap = [&k](std::size_t i) { return k[i + 1].l - k[i].l; };
    const auto secant = [&](std::size_t i) { return (k[i + 1].h - k[i].h) / gap(i); };
    for (std::size_t i = 1; i + 1 < n; ++i)
        k[i].slope = inner_slope(gap(i - 1), gap(i), secant(i - 1), secant(i));
    k[0].slope = n == 2 ? secant(0) : end_slope(gap(0), gap(1), secant(0), secant(1));
    k[n - 1].slope = n == 2 ? secant(0) : end_slope(gap(n - 2), gap(n - 3), secant(n - 2), secant(n - 3));
    for (std::size_t i = 0; i + 1 < n; ++i)
        if (least_slope(secant(i), k[i].slope, k[i + 1].slope) < least_leverage)
            return pair_error(ErrorCode::out_of_range, i + 1, "leverage between the pairs comes near 0");
    return map;
}

HeightMap::Mechanism::Height HeightMap::Mechanism::at(double c, double s) const {
    if (!mark) return {arm * s, arm * c, -arm * s};
    // Axle and its derivative by droop. The second derivative is −axle.
    const Vec<double> axle{-arm * c, -arm * s}, moves{arm * s, -arm * c};
    const Vec<double> apart = axle - *mark;
    const double h = length_of(apart), by = dot(apart, moves) / h;
    return {h, by, (dot(moves, moves) - dot(apart, axle) - by * by) / h};
}

// Cosine rule in the triangle pivot, axle, mark. Of the two solutions, the one where height rises with droop.
std::optional<double> HeightMap::Mechanism::droop_at(double height) const {
    const double across = mark ? length_of(*mark) : 0.0;
    const double cosine =
        mark ? (arm * arm + across * across - height * height) / (2.0 * arm * across) : height / arm;
    if (!(std::fabs(cosine) <= 1.0)) return std::nullopt;
    if (!mark) return std::asin(cosine);
    const double towards = std::atan2(mark->z, mark->x) - pi;  // droop at which the arm points at the mark
    const double droop = towards + std::acos(cosine);
    return std::remainder(droop, 2.0 * pi);
}

Result<HeightMap> HeightMap::linkage(const LinkageMap& linkage, Length arm, std::optional<PlanePoint> mark) {
    if (!(arm.value > 100.0 && arm.value <= 1500.0))
        return Error{ErrorCode::out_of_range, "map.arm_mm", "100 < x <= 1500"};
    Mechanism mechanism{linkage, arm.value, {}};
    if (mark) mechanism.mark = vec<double>(*mark);
    for (const Angle end : {linkage.shortest().droop, linkage.longest().droop})
        if (!(mechanism.at(cos(end), sin(end)).by_droop > 0.0))
            return Error{ErrorCode::not_monotone, "map.linkage", "seen from the mark"};
    HeightMap map;
    map.mechanism_ = std::make_shared<const Mechanism>(std::move(mechanism));
    return map;
}

Result<HeightMap> HeightMap::anchored(Length length, Length height) const {
    const Result<MapPoint> here = at(length);
    if (!here) return Error{ErrorCode::out_of_range, "map", here.error().detail};
    HeightMap moved = *this;
    moved.shift_ = shift_ + (height - here->height);
    return moved;
}

HeightMap HeightMap::shifted(Length by) const {
    HeightMap moved = *this;
    moved.shift_ = shift_ + by;
    return moved;
}

std::pair<Length, Length> HeightMap::length_range() const {
    constexpr double inf = std::numeric_limits<double>::infinity();
    if (mechanism_) return {mechanism_->linkage.shortest().length, mechanism_->linkage.longest().length};
    if (knots_.empty()) return {mm(-inf), mm(inf)};
    return {mm(knots_.front().l), mm(knots_.back().l)};
}

bool HeightMap::covers(Length length) const {
    if (mechanism_) return mechanism_->linkage.covers(length);
    if (knots_.empty()) return is_finite(length);
    return length.value >= knots_.front().l - map_end_rounding &&
           length.value <= knots_.back().l + map_end_rounding;
}

Result<MapPoint> HeightMap::at(Length length) const {
    if (!covers(length)) return off_the_map(length_range().first.value, length_range().second.value);
    if (mechanism_) {
        const auto found = mechanism_->linkage.found_at(length);
        if (!found) return found.error();
        const auto height = mechanism_->at(found->cosine, found->sine);
        const double by_length = 1.0 / found->slope, leverage = height.by_droop * by_length;
        return MapPoint{mm(height.h) + shift_, leverage,
                        (height.bent - leverage * found->bend) * by_length * by_length};
    }
    if (knots_.empty()) return MapPoint{length * ratio_ + shift_, ratio_, 0.0};
    const auto next = std::upper_bound(knots_.begin() + 1, knots_.end() - 1, length.value,
                                       [](double l, const Knot& knot) { return l < knot.l; });
    const Knot &a = *(next - 1), &b = *next;
    // Cubic in d, the distance from the left knot.
    const double gap = b.l - a.l, d = length.value - a.l, secant = (b.h - a.h) / gap;
    const double c2 = (3.0 * secant - 2.0 * a.slope - b.slope) / gap;
    const double c3 = (a.slope + b.slope - 2.0 * secant) / (gap * gap);
    return MapPoint{mm(a.h + d * (a.slope + d * (c2 + d * c3))) + shift_,
                    a.slope + d * (2.0 * c2 + 3.0 * d * c3), 2.0 * c2 + 6.0 * d * c3};
}

Result<Length> HeightMap::length_at(Length height) const {
    const double wanted = (height - shift_).value;
    if (mechanism_) {
        const auto& limits = mechanism_->linkage;
        const auto droop = mechanism_->droop_at(wanted);
        const auto end_height = [&](Angle end) {
            return mechanism_->at(cos(end), sin(end)).h + shift_.value;
        };
        constexpr double rounding = 1e-12;
        if (!droop || *droop < limits.shortest().droop.value - rounding ||
            *droop > limits.longest().droop.value + rounding)
            return off_the_map(end_height(limits.shortest().droop), end_height(limits.longest().droop));
        const auto there = linkage_terms<double>(limits.constants(), *droop, limits.constants().rod);
        return there.closes ? Result<Length>(mm(there.length))
                            : off_the_map(limits.shortest().length.value, limits.longest().length.value);
    }
    if (knots_.empty()) {
        if (!std::isfinite(wanted)) return Error{ErrorCode::not_a_number, "map", "ride height"};
        return mm(wanted / ratio_);
    }
    const double low_h = knots_.front().h, high_h = knots_.back().h;
    // The negated comparison also rejects NaN.
    if (!(wanted >= low_h - map_end_rounding && wanted <= high_h + map_end_rounding))
        return off_the_map(low_h + shift_.value, high_h + shift_.value);
    const auto next = std::upper_bound(knots_.begin() + 1, knots_.end() - 1, wanted,
                                       [](double h, const Knot& knot) { return h < knot.h; });
    // Newton between two knots; bisection if a step would leave the bracket.
    double low = (next - 1)->l - map_end_rounding, high = next->l + map_end_rounding;
    double l = low + (high - low) * (wanted - (next - 1)->h) / (next->h - (next - 1)->h);
    for (int i = 0; i < 80; ++i) {
        const MapPoint here = at(mm(l)).value();
        const double miss = (here.height - shift_).value - wanted;
        const double newton_step = l - miss / here.leverage;
        if (std::fabs(newton_step - l) < 1e-13 * std::fabs(l)) return mm(newton_step);
        (miss > 0.0 ? high : low) = l;
        l = newton_step > low && newton_step < high ? newton_step : 0.5 * (low + high);
    }
    return mm(l);
}

}  // namespace restand
