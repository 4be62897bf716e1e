#include "core/restore/spring_choice.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace restand {
namespace {

// Both wheel loads and the map point at the wanted rider height.
struct Wanted {
    HeightMap map;
    Force rider;
    std::optional<Force> alone;
    MapPoint at;
    Length length;
};

Result<Wanted> wanted_of(const SwapCase& now, const SpringWish& wish) {
    const Result<HeightMap> map = now.map.anchored(now.before.unit.length, now.before.topped_out);
    if (!map) return map.error();
    // Each spring would hang the unit at another length.
    if (now.before.unit.top_out)
        return Error{ErrorCode::contradiction, "top_out_spring", "the unit of a spring choice has none"};
    if (!now.before.rider) return Error{ErrorCode::missing, "ride_height_rider", "before"};
    const EndModel end{now.before.unit, *map};
    const auto rider = standing_at(end, *now.before.rider);
    if (!rider) return rider.error();
    const Length height = now.before.topped_out - wish.rider_sag;
    const auto length = map->length_at(height);
    const auto at = length ? map->at(*length) : Result<MapPoint>(length.error());
    const Length travel = length ? now.before.unit.length - *length : mm(0);
    if (!at || travel < mm(0) || (now.new_unit.travel && travel > *now.new_unit.travel))
        return Error{ErrorCode::out_of_range, "rider_sag", "beyond the travel"};
    Wanted wanted{*map, rider->load, {}, *at, *length};
    if (now.before.static_)
        if (const auto alone = standing_at(end, *now.before.static_)) wanted.alone = alone->load;
    return wanted;
}

SpringOption option_with(const SwapCase& now, const Wanted& wanted, const Spring& spring) {
    SuspensionUnit unit = now.before.unit;
    unit.travel = now.new_unit.travel;
    unit.spring = spring;
    unit.helper.reset();
    const Length travel = unit.length - wanted.length;
    // At this installed length the spring force is zero: `rest` is all other forces at that travel.
    unit.installed_length = spring.free_length + travel;
    const Force rest = unit_force(unit, travel);
    SpringOption o;
    o.preload = (wanted.rider * wanted.at.leverage - rest) / (spring.rate * unit.legs) - travel;
    o.installed_length = spring.free_length - o.preload;
    unit.installed_length = o.installed_length;
    const EndModel end{unit, wanted.map};
    if (const auto rides = standing_under(end, wanted.rider)) o.wheel_rate = rides->wheel_rate;
    if (wanted.alone)
        if (const auto stands = standing_under(end, *wanted.alone))
            o.free_sag = now.before.topped_out - stands->height;
    o.block_margin = block_margin(unit);
    return o;
}

// How far an option misses the wish, in mm; an unknown free sag counts as no miss.
double miss(const SpringOption& o, const SpringWish& wish) {
    const Length free = o.free_sag ? wish.free_sag.beyond(*o.free_sag) : mm(0);
    const Length coils = o.clears() ? mm(0) : *o.block_margin;
    return std::fabs(free.value) + std::fabs(wish.preload.beyond(o.preload).value) + std::fabs(coils.value);
}

}  // namespace

Result<std::vector<SpringOption>> spring_options(const SwapCase& now, std::span<const Spring> springs,
                                                 const SpringWish& wish) {
    const auto wanted = wanted_of(now, wish);
    if (!wanted) return wanted.error();
    std::vector<SpringOption> options;
    for (std::size_t i = 0; i < springs.size(); ++i) {
        options.push_back(option_with(now, *wanted, springs[i]));
        options.back().index = i;
    }
    const auto rank = [&](const SpringOption& o) {
        const Length off = o.free_sag ? abs(*o.free_sag - wish.free_sag.middle()) : mm(0);
        return std::tuple(!o.fits(wish), o.fits(wish) ? off.value : miss(o, wish));
    };
    std::stable_sort(options.begin(), options.end(),
                     [&](const SpringOption& a, const SpringOption& b) { return rank(a) < rank(b); });
    return options;
}

}  // namespace restand
