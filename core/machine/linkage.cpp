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

bool works(const Linkage& linkage, double droop) {
    const auto at = linkage_terms<double>(linkage, droop);
    return at.closes && at.slope > 0.0;
}

LinkageEnd why_not(const Linkage& linkage, double droop) {
    if (!linkage.rocker || linkage_terms<double>(linkage, droop).closes) return LinkageEnd::locked;
    const Rocker& r = *linkage.rocker;
    const double apart = length_of(moving<double>(r.rod_end, droop).at - moving<double>(r.pivot, droop).at);
    return apart > std::max(r.rod.value, r.pivot_to_rod.value) ? LinkageEnd::stretched : LinkageEnd::folded;
}

LinkageMap::Limit limit_at(const Linkage& linkage, double droop, LinkageEnd why) {
    return {radians(droop), mm(linkage_terms<double>(linkage, droop).length), why};
}

// Bisects for the limit between a droop that works and one that does not. Returns a droop that works.
double last_good(const Linkage& linkage, double good, double bad) {
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (good + bad);
        (works(linkage, middle) ? good : bad) = middle;
    }
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

std::optional<LinkagePlace> place_at(const Linkage& linkage, Angle droop) {
    const auto terms = linkage_terms<double>(linkage, droop.value);
    if (!terms.closes) return std::nullopt;
    const auto plain = [](const Vec<double>& v) { return PlanePoint{mm(v.x), mm(v.z)}; };
    return LinkagePlace{mm(terms.length), terms.slope,    terms.bend,    plain(terms.p),
                        plain(terms.t),   plain(terms.v), plain(terms.u)};
}

Result<LinkageMap> LinkageMap::of(const Linkage& linkage, Angle near) {
    if (const auto sized = check_linkage_sizes(linkage); !sized) return sized.error();
    // If it does not work at `near`, try up to 40 degrees to either side, the closest first.
    double start = near.value;
    for (int i = 1; i <= 80 && !works(linkage, start); ++i)
        start = near.value + (i % 2 ? 1 : -1) * ((i + 1) / 2) * knot_step;
    if (!works(linkage, start)) {
        const bool closes = linkage_terms<double>(linkage, near.value).closes;
        return Error{ErrorCode::no_solution, "map.linkage",
                     closes ? "the unit gets shorter as the arm droops: is the rocker on the other side?"
                            : "rod and rocker do not meet at any droop of the arm"};
    }
    LinkageMap map;
    map.linkage_ = linkage;
    const auto walk = [&](int plan) {
        std::vector<Limit> found;
        double at = start;
        for (int i = 1; std::fabs(at - start) < search_reach; ++i) {
            const double next = start + plan * i * knot_step;
            if (!works(linkage, next)) {
                found.push_back(limit_at(linkage, last_good(linkage, at, next), why_not(linkage, next)));
                return found;
            }
            at = next;
            found.push_back(limit_at(linkage, at, LinkageEnd::searched));
        }
        return found;
    };
    map.knots_ = walk(-1);
    std::reverse(map.knots_.begin(), map.knots_.end());
    map.knots_.push_back(limit_at(linkage, start, LinkageEnd::searched));
    const auto up = walk(1);
    map.knots_.insert(map.knots_.end(), up.begin(), up.end());
    return map;
}

bool LinkageMap::covers(Length length) const {
    return length >= shortest().length - mm(limit_rounding) &&
           length <= longest().length + mm(limit_rounding);
}

Result<Angle> LinkageMap::droop_at(Length length) const {
    if (!(length >= shortest().length - mm(limit_rounding)))
        return beyond(length, shortest(), "the shortest");
    if (!(length <= longest().length + mm(limit_rounding))) return beyond(length, longest(), "the longest");
    const auto next = std::upper_bound(knots_.begin() + 1, knots_.end() - 1, length,
                                       [](Length l, const Limit& knot) { return l < knot.length; });
    // Newton between two knots; bisection if a step would leave the bracket.
    const Limit &a = *(next - 1), &b = *next;
    double low = a.droop.value, high = b.droop.value;
    double droop = low + (high - low) * std::clamp((length - a.length) / (b.length - a.length), 0.0, 1.0);
    for (int i = 0; i < 80; ++i) {
        const auto here = linkage_terms<double>(linkage_, droop);
        const double miss = here.length - length.value;
        const double newton_step = droop - miss / here.slope;
        if (std::fabs(newton_step - droop) < 1e-15 + 1e-14 * std::fabs(droop)) break;
        (miss > 0.0 ? high : low) = droop;
        droop = newton_step > low && newton_step < high ? newton_step : 0.5 * (low + high);
    }
    return radians(droop);
}

}  // namespace restand
