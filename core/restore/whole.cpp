// Solves in four stages: without ends, inside the ranges, with whole teeth and links, with settable steps.
// Each stage uses whole_search.h.

#include "core/restore/whole.h"

#include <algorithm>
#include <cmath>

#include "core/machine/travel_table.h"
#include "core/restore/whole_ranges.h"
#include "core/restore/whole_search.h"

namespace restand {

Result<WholeAnswer> restore(const WholeCase& whole) {
    if (const auto good = validate(whole); !good) return good.error();
    const WholeSearch solver(whole);
    WholeAnswer out;
    for (const WholeAdjuster& a : whole.adjusters) out.ends.push_back(ends_of(whole.bike, a));
    WholeSearch::Values start = solver.now();
    const auto found = solver.found_at(start);
    if (!found) return found.error();

    const auto wanted = solver.best(start, endless(whole.adjusters.size()));
    for (std::size_t i = 0; i < start.size(); ++i)
        start[i] = std::clamp(wanted ? wanted->at[i] : start[i], out.ends[i].low, out.ends[i].high);
    // The wanted setting may be where the bike has no equilibrium or beyond a local maximum of the miss. So
    // search from the present setting as well.
    const auto setting = solver.best_of_all(
        solver.better(solver.best(start, out.ends), solver.best(solver.now(), out.ends)), out.ends);
    if (!setting) return setting.error();
    out.setting = setting->at;
    out.wanted = wanted ? wanted->at : setting->at;
    auto held = out.ends;
    const WholeSearch::Found counts = solver.with_whole_counts(*setting, held);
    const auto settable = solver.on_steps(counts, held);
    if (!settable) return settable.error();
    out.detent = settable->at;
    out.bike = solver.bike_at(out.detent);

    auto in_the_way = solver.in_the_way(*setting, out.ends);
    out.held = true;
    for (std::size_t j = 0; j < whole.targets.size(); ++j) {
        const Target& t = whole.targets[j];
        TargetAnswer a{found->terms[j].value, setting->terms[j].value, settable->terms[j].value, false, {}};
        a.held = std::fabs(a.detent - t.value) <= tolerance_of(t);
        a.in_the_way = std::move(in_the_way[j]);
        out.held = out.held && (a.held || level_of(whole, t) == weighted);
        out.targets.push_back(std::move(a));
        std::vector<double> row;
        for (const WholeAdjuster& adjuster : whole.adjusters)
            row.push_back(setting->terms[j].value_slope[static_cast<int>(adjuster.what)]);
        out.sensitivity.push_back(std::move(row));
    }
    WholeSearch::OwnMap own;
    const Result<LinkageMap>& map = solver.map_of(out.bike, own);
    if (!map) return map.error();
    if (out.bike.chain) {
        const auto tight = tight_spot(out.bike, *map);
        if (tight && tight->excess.value < 0.0) out.chain_short = -tight->excess;
        out.held = out.held && !out.chain_short;
    }
    out.shock_margin = block_margin(out.bike.shock);
    out.fork_margin = block_margin(out.bike.fork);
    for (const auto& margin : {out.shock_margin, out.fork_margin})
        out.held = out.held && !(margin && margin->value < -1e-9);
    for (const SuspensionUnit* unit : {&out.bike.shock, &out.bike.fork})
        out.held = out.held && least_preload(*unit).value >= -1e-9;
    if (const auto alone = standing(out.bike, *map, Rider::off)) out.alone = *alone;
    if (const auto with_rider = standing(out.bike, *map, Rider::on)) out.with_rider = *with_rider;
    return out;
}

}  // namespace restand
