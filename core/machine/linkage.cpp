// Invariant of LinkageMap: droop and length both rise from knot to knot. Everywhere between the first and the
// last knot the linkage closes and dl/dα > 0.

#include "core/machine/linkage.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "core/machine/linkage_kernel.h"

namespace restand {
namespace {

constexpr double knot_step = 1.0 * pi / 180.0;      // between knots
constexpr double search_reach = 70.0 * pi / 180.0;  // searched on either side of a droop where it works
constexpr double limit_rounding = 1e-7;             // mm; a length beyond a limit by rounding is accepted
// rad; over a last step this short, slope and bend follow from the place before it.
constexpr double last_step = 1e-11;

LinkageTerms<double> terms_at(const LinkageConstants& constants, double droop) {
    return linkage_terms<double>(constants, droop, constants.rod);
}

bool works(const LinkageTerms<double>& at) {
    return at.closes && at.slope > 0.0;
}

// Sine and cosine of an angle further by no more than one step between knots: series of the step's.
std::pair<double, double> turned_from(double sine, double cosine, double step) {
    const double z = step * step;
    const double s = step * (1.0 - (z * (1.0 / 6.0)) * (1.0 - (z * (1.0 / 20.0)) * (1.0 - z * (1.0 / 42.0))));
    const double less = z * 0.5 * (1.0 - (z * (1.0 / 12.0)) * (1.0 - z * (1.0 / 30.0)));  // 1 − cos
    return {sine + (cosine * s - sine * less), cosine - (sine * s + cosine * less)};
}

CarriedPoint carried(const Pin& joint) {
    const Vec<double> at = vec<double>(joint.at), none{0.0, 0.0};
    return joint.on == Carrier::frame ? CarriedPoint{at, none} : CarriedPoint{none, at};
}

CarriedPoint operator-(const CarriedPoint& a, const CarriedPoint& b) {
    return {a.frame - b.frame, a.arm - b.arm};
}

Vec<double> placed(const CarriedPoint& point, double cosine, double sine) {
    return point.frame + turned_by(point.arm, cosine, sine);
}

LinkageEnd why_not(const LinkageConstants& k, const LinkageTerms<double>& at, double droop) {
    if (!k.has_rocker || at.closes) return LinkageEnd::locked;
    const double apart = length_of(placed(k.rod_base, std::cos(droop), std::sin(droop)));
    return apart > std::max(k.rod, std::sqrt(k.arm_squared)) ? LinkageEnd::stretched : LinkageEnd::folded;
}

// Bisects for the limit between a droop that works and one that does not. Returns a droop that works.
double last_good(const LinkageConstants& constants, double good, double bad) {
    for (double middle = 0.5 * (good + bad); middle != good && middle != bad; middle = 0.5 * (good + bad))
        (works(terms_at(constants, middle)) ? good : bad) = middle;
    return good;
}

Outcome check_linkage_sizes(const Linkage& linkage) {
    const auto refuse = [](const char* field, const char* range) {
        return Error{ErrorCode::out_of_range, std::string("map.linkage.") + field, range};
    };
    const auto far = [](const Pin& j) {
        return !(std::fabs(j.at.x.value) <= 2000.0 && std::fabs(j.at.z.value) <= 2000.0);
    };
    if (far(linkage.unit_end)) return refuse("unit_end", "within 2000 of the pivot");
    if (!linkage.rocker)
        return far(linkage.direct) ? Outcome(refuse("direct", "within 2000 of the pivot")) : Outcome(Done{});
    const Rocker& r = *linkage.rocker;
    if (far(r.pivot)) return refuse("rocker.pivot", "within 2000 of the pivot");
    if (far(r.rod_end)) return refuse("rocker.rod_end", "within 2000 of the pivot");
    for (const auto& [length, field] : {std::pair{r.rod, "rocker.rod"},
                                        {r.pivot_to_rod, "rocker.pivot_to_rod"},
                                        {r.pivot_to_unit, "rocker.pivot_to_unit"}})
        if (!(length.value > 0.0 && length.value <= 2000.0)) return refuse(field, "0 < x <= 2000");
    if (!is_finite(r.spread)) return refuse("rocker.spread", "an angle");
    if (r.side != 1 && r.side != -1) return refuse("rocker.side", "1 or -1");
    return Done{};
}

Error beyond(Length asked, const LinkageMap::Limit& limit, const char* which) {
    char text[200];
    std::snprintf(text, sizeof text,
                  "%.2f mm is asked for; %s unit it can have is %.2f mm, at a droop of %.2f deg (%s)",
                  asked.value, which, limit.length.value, in_degrees(limit.droop),
                  std::string(key(limit.why)).c_str());
    return {ErrorCode::no_solution, "map.linkage", text};
}

}  // namespace

std::string_view key(LinkageEnd end) {
    constexpr std::string_view keys[] = {"stretched", "folded", "locked", "searched"};
    return keys[static_cast<int>(end)];
}

LinkageConstants constants_of(const Linkage& linkage) {
    LinkageConstants k;
    k.unit_end = carried(linkage.unit_end);
    k.has_rocker = linkage.rocker.has_value();
    if (!k.has_rocker) {
        k.unit_base = carried(linkage.direct) - k.unit_end;
        return k;
    }
    const Rocker& r = *linkage.rocker;
    const CarriedPoint pivot = carried(r.pivot);
    k.unit_base = pivot - k.unit_end;
    k.rod_base = carried(r.rod_end) - pivot;
    k.arm_squared = r.pivot_to_rod.value * r.pivot_to_rod.value;
    k.rod = r.rod.value;
    k.side = r.side;
    const double ratio = r.pivot_to_unit / r.pivot_to_rod;
    k.to_unit = {ratio * cos(r.spread), ratio * sin(r.spread)};
    return k;
}

std::optional<LinkagePlace> place_at(const LinkageConstants& k, Angle droop) {
    const double c = cos(droop), s = sin(droop);
    const auto terms = linkage_terms<double>(k, c, s, k.rod);
    if (!terms.closes) return std::nullopt;
    const Vec<double> u = placed(k.unit_end, c, s), base = u + placed(k.unit_base, c, s);
    const Vec<double> p = k.has_rocker ? base + placed(k.rod_base, c, s) : base;
    const auto plain = [](const Vec<double>& v) { return PlanePoint{mm(v.x), mm(v.z)}; };
    return LinkagePlace{mm(terms.length),
                        terms.slope,
                        terms.bend,
                        plain(p),
                        plain(base + terms.to_rod),
                        plain(base + terms.to_unit),
                        plain(u)};
}

std::optional<LinkagePlace> place_at(const Linkage& linkage, Angle droop) {
    return place_at(constants_of(linkage), droop);
}

Result<LinkageMap> LinkageMap::of(const Linkage& linkage, Angle near) {
    if (const auto sized = check_linkage_sizes(linkage); !sized) return sized.error();
    LinkageMap map;
    map.linkage_ = linkage;
    map.constants_ = constants_of(linkage);
    const LinkageConstants& k = map.constants_;
    // If it does not work at `near`, try up to 40 degrees to either side, the closest first.
    double start = near.value;
    for (int i = 1; i <= 80 && !works(terms_at(k, start)); ++i)
        start = near.value + (i % 2 ? 1 : -1) * ((i + 1) / 2) * knot_step;
    if (!works(terms_at(k, start))) {
        const bool closes = terms_at(k, near.value).closes;
        return Error{ErrorCode::no_solution, "map.linkage",
                     closes ? "the unit gets shorter as the arm droops: is the rocker on the other side?"
                            : "rod and rocker do not meet at any droop of the arm"};
    }
    // Adds a knot where the linkage works; false where it does not.
    const auto add = [&](double droop) {
        const double c = std::cos(droop), s = std::sin(droop);
        const auto at = linkage_terms<double>(k, c, s, k.rod);
        if (!works(at)) return false;
        const double by = 1.0 / at.slope;
        map.knots_.push_back({droop, at.length, by, -0.5 * at.bend * by * by * by, c, s});
        return true;
    };
    // No further than to where it ends: so one by one, not in bulk.
    const auto walk = [&](int plan) {
        double at = start;
        for (int i = 1; std::fabs(at - start) < search_reach; ++i) {
            const double next = start + plan * i * knot_step;
            if (!add(next)) {
                add(last_good(k, at, next));
                return why_not(k, terms_at(k, next), next);
            }
            at = next;
        }
        return LinkageEnd::searched;
    };
    map.knots_.reserve(2 * static_cast<std::size_t>(search_reach / knot_step) + 4);
    map.shortest_why_ = walk(-1);
    std::reverse(map.knots_.begin(), map.knots_.end());
    add(start);
    map.longest_why_ = walk(1);
    return map;
}

LinkageMap::Limit LinkageMap::limit_at(const Knot& knot, LinkageEnd why) {
    return {radians(knot.droop), mm(knot.length), why};
}

bool LinkageMap::covers(Length length) const {
    return length >= shortest().length - mm(limit_rounding) &&
           length <= longest().length + mm(limit_rounding);
}

// The last knot but one, or an earlier one that is not above the length. Bisects without branches: the
// lengths asked for in a row are far apart.
auto LinkageMap::knot_below(double length) const -> const Knot& {
    const Knot* from = knots_.data();
    for (std::size_t count = knots_.size() - 1; count > 1;) {
        const std::size_t half = count / 2;
        from += from[half].length <= length ? half : 0;
        count -= half;
    }
    return *from;
}

// Droop at a length between two knots: the quintic with their values and first two derivatives.
double LinkageMap::between(const Knot& a, const Knot& b, double length) {
    const double gap = b.length - a.length, t = std::clamp((length - a.length) / gap, 0.0, 1.0);
    const double a1 = gap * a.by_length, a2 = gap * gap * a.bent;
    const double b0 = b.droop - (a.droop + a1 + a2), b1 = gap * b.by_length - (a1 + 2.0 * a2),
                 b2 = gap * gap * b.bent - a2;
    const double c3 = 10.0 * b0 - 4.0 * b1 + b2, c4 = -15.0 * b0 + 7.0 * b1 - 2.0 * b2,
                 c5 = 6.0 * b0 - 3.0 * b1 + b2;
    return a.droop + t * (a1 + t * (a2 + t * (c3 + t * (c4 + t * c5))));
}

auto LinkageMap::found_at(Length length) const -> Result<Found> {
    if (!(length >= shortest().length - mm(limit_rounding)))
        return beyond(length, shortest(), "the shortest");
    if (!(length <= longest().length + mm(limit_rounding))) return beyond(length, longest(), "the longest");
    // Newton between two knots; bisection if a step would leave the bracket.
    const Knot &a = knot_below(length.value), &b = *(&a + 1);
    double low = a.droop, high = b.droop;
    double droop = between(a, b, length.value);
    if (!(droop >= low && droop <= high)) droop = 0.5 * (low + high);
    for (int i = 0;; ++i) {
        const auto [s, c] = turned_from(a.sine, a.cosine, droop - a.droop);
        const auto here = linkage_terms<double>(constants_, c, s, constants_.rod);
        const double miss = here.length - length.value, step = miss / here.slope;
        if (std::fabs(step) < last_step || i == 80)
            return Found{radians(droop - step), c + s * step, s - c * step, here.slope - here.bend * step,
                         here.bend};
        (miss > 0.0 ? high : low) = droop;
        const double newton_step = droop - step;
        droop = newton_step > low && newton_step < high ? newton_step : 0.5 * (low + high);
    }
}

Result<Angle> LinkageMap::droop_at(Length length) const {
    const auto found = found_at(length);
    return found ? Result<Angle>(found->droop) : found.error();
}

}  // namespace restand
