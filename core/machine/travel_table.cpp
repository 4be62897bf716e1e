#include "core/machine/travel_table.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "core/machine/linkage_bulk.h"
#include "core/machine/linkage_kernel.h"
#include "core/machine/unit_terms.h"

namespace restand {
namespace {

struct DroopSpan {
    LinkageMap map;
    Angle top, full;
};

// Droop range of the unit's travel on this linkage.
Result<DroopSpan> droop_span(const WholeBike& bike) {
    if (!bike.shock.travel) return Error{ErrorCode::missing, "bike.shock.travel_mm", "where the travel ends"};
    auto map = LinkageMap::of(bike.linkage);
    if (!map) return map.error();
    const auto top = map->droop_at(bike.shock.length);
    if (!top) return top.error();
    const auto full = map->droop_at(bike.shock.length - *bike.shock.travel);
    if (!full) {
        // Add the wheel travel at which the linkage ends: a person can check it on the bike.
        const double rise = bike.arm.value * (sin(*top) - sin(map->shortest().droop));
        char text[64];
        std::snprintf(text, sizeof text, "; wheel travel ends at %.1f mm", rise);
        Error error = full.error();
        error.subject = "bike.shock.travel_mm";
        error.detail += text;
        return error;
    }
    return DroopSpan{std::move(*map), *top, *full};
}

struct PlaceOfUnit {
    double length, slope, bend;  // as in LinkagePlace
};

TravelRow row_at(const WholeBike& bike, Angle top, Angle droop, const PlaceOfUnit& place) {
    const auto wheel = wheel_terms(bike.arm.value, droop.value, place.slope, place.bend);
    TravelRow row;
    row.droop = droop;
    row.wheel_travel = bike.arm * (sin(top) - sin(droop));
    row.unit_length = mm(place.length);
    row.unit_travel = bike.shock.length - row.unit_length;
    row.motion_ratio = wheel.motion_ratio;
    row.motion_ratio_slope = wheel.slope;
    const UnitTerms unit = unit_terms(bike.shock, std::max(0.0, row.unit_travel.value), false);
    row.wheel_force = newton(unit.force * row.motion_ratio);
    row.wheel_rate =
        newton_per_mm(unit.d_travel * wheel.motion_ratio * wheel.motion_ratio + unit.force * wheel.slope);
    if (bike.chain) row.chain = slack_at(*bike.chain, bike.arm, droop);
    return row;
}

}  // namespace

Result<TravelRow> travel_row(const WholeBike& bike, const LinkageMap& map, Angle droop) {
    const auto top = map.droop_at(bike.shock.length);
    if (!top) return top.error();
    const auto place = linkage_terms<double>(map.constants(), droop.value, map.constants().rod);
    if (!place.closes) return Error{ErrorCode::no_solution, "map.linkage", "does not close there"};
    return row_at(bike, *top, droop, {place.length, place.slope, place.bend});
}

Result<std::vector<TravelRow>> travel_table(const WholeBike& bike, Length step) {
    const auto span = droop_span(bike);
    if (!span) return span.error();
    const double full = bike.arm.value * (sin(span->top) - sin(span->full));
    std::vector<double> droops;
    const auto add = [&](double travel) {
        droops.push_back(std::asin(sin(span->top) - travel / bike.arm.value));
    };
    for (double travel = 0.0; travel < full - 1e-9; travel += step.value) add(travel);
    add(full);
    const auto stands = bike.masses && bike.chain
                            ? standing(bike, span->map, Rider::on)
                            : Result<StandingBike>(Error{ErrorCode::missing, "masses", ""});
    const LinkagePlaces places = places_at(span->map.constants(), droops);
    std::vector<TravelRow> rows;
    for (std::size_t i = 0; i < droops.size(); ++i) {
        const Angle droop = radians(droops[i]);
        if (!(places.length[i] > 0.0))
            return Error{ErrorCode::no_solution, "map.linkage", "does not close there"};
        rows.push_back(row_at(bike, span->top, droop, {places.length[i], places.slope[i], places.bend[i]}));
        if (stands) rows.back().squat = squat_at(bike, span->map, *stands, Rider::on, droop);
    }
    return rows;
}

Result<Angle> full_droop(const WholeBike& bike) {
    const auto span = droop_span(bike);
    return span ? Result<Angle>(span->full) : span.error();
}

Angle least_droop(const WholeBike& bike, const LinkageMap& map) {
    const Angle end = map.shortest().droop;
    return bike.shock.travel ? map.droop_at(bike.shock.length - *bike.shock.travel).value_or(end) : end;
}

Result<SlackAt> tight_spot(const WholeBike& bike) {
    if (!bike.chain) return Error{ErrorCode::missing, "bike.chain", "the chain"};
    const auto map = LinkageMap::of(bike.linkage);
    if (!map) return map.error();
    return tight_spot(bike, *map);
}

Result<SlackAt> tight_spot(const WholeBike& bike, const LinkageMap& map) {
    if (!bike.chain) return Error{ErrorCode::missing, "bike.chain", "the chain"};
    const auto top = map.droop_at(bike.shock.length);
    if (!top) return top.error();
    return slack_at(*bike.chain, bike.arm, tightest_droop(*bike.chain, least_droop(bike, map), *top));
}

Result<ChainSetting> chain_setting(const WholeBike& bike, Length wanted) {
    if (!bike.chain) return Error{ErrorCode::missing, "bike.chain", "the chain"};
    const auto span = droop_span(bike);
    if (!span) return span.error();
    const auto hangs = hanging_pose(bike, span->map);
    if (!hangs) return hangs.error();
    const ChainRun& run = *bike.chain;
    const Angle tight = tightest_droop(run, span->full, span->top);
    ChainSetting out{slack_at(run, bike.arm, tight), slack_at(run, bike.arm, hangs->droop), {}, {}};
    const auto arm = arm_for(run, tight, wanted);
    if (!arm) return arm.error();
    out.axle = *arm - bike.arm;
    out.slack_to_set = slack_at(run, *arm, hangs->droop).slack;
    return out;
}

}  // namespace restand
