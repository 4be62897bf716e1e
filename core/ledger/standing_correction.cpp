#include "core/ledger/standing_correction.h"

#include "core/ledger/checked_swap.h"

namespace restand {
namespace {
// By what is known of the new part now: it may have been measured after the check.
bool coils_touch_at(const Setting& setting, const SwapSite& site, End end) {
    const auto input = case_of(site, end);
    if (!input) return false;
    return predict(input->swap_case, setting.length, setting.installed_length).coils_touch();
}
}  // namespace

std::optional<StandingCorrection> standing_correction(const Ledger& ledger, const Bike& bike,
                                                      const Swap& swap, End end) {
    const auto check = last_check(swap, end);
    if (!check || part_read_after(swap, end, *check)) return std::nullopt;
    std::set<Point> made = set_after(swap, end, *check);
    if (made.empty()) return std::nullopt;
    const Swap then = swap_at(ledger, swap, *check);
    const SwapSite site = site_of(ledger, bike, then);
    const SwapSolution solution = solve_swap(site);
    const EndSolution* solved = solution.end(end);
    const CheckResult* judged = solved ? solved->judged() : nullptr;
    if (!judged || !judged->turns_help() || !solved->input || !solved->correction) return std::nullopt;
    if (!solved->correction->can_be_ridden() ||
        coils_touch_at(solved->correction->detent, site_of(ledger, bike, swap), end))
        return std::nullopt;
    return StandingCorrection{*solved->input, solved->correction->detent, std::move(made)};
}

std::optional<ExpectedAsSet> expected_as_set(const Ledger& ledger, const Bike& bike, const Swap& swap,
                                             const EndSolution& solved) {
    if (!solved.as_set) return std::nullopt;
    ExpectedAsSet expected{*solved.as_set, false};
    const auto then = checked_before_setting(ledger, swap, solved.end);
    if (!then) return expected;
    const SwapSolution solution = solve_swap(site_of(ledger, bike, *then));
    const EndSolution* was = solution.end(solved.end);
    if (!was || !was->as_set) return expected;
    expected.corrected =
        was->judged() && was->judged()->turns_help() && was->correction && was->correction->can_be_ridden();
    std::array<std::optional<Length>, 3> off;
    for (const State state : all_states) {
        const auto i = static_cast<std::size_t>(state);
        const StoredReading* read = then->stored({Phase::check, solved.end, ride_heights[i]});
        if (const auto& predicted = was->as_set->at(state); read && predicted)
            off[i] = mm(measured(read->reading).value) - was->load_shift[i] - predicted->height;
    }
    // Static and rider stand on the same spring: one that was not read is off as the other was.
    auto &still = off[static_cast<std::size_t>(State::static_)],
         &rider = off[static_cast<std::size_t>(State::rider)];
    if (!still) still = rider;
    if (!rider) rider = still;
    Prediction& p = expected.heights;
    for (std::size_t i = 0; i < off.size(); ++i) {
        if (!off[i]) continue;
        if (p.standing[i]) p.standing[i]->height += *off[i];
        if (p.residual[i]) *p.residual[i] += *off[i];
    }
    const auto &top = p.at(State::topped_out), &alone = p.at(State::static_), &with = p.at(State::rider);
    if (p.free_sag && top && alone) p.free_sag = top->height - alone->height;
    if (p.rider_sag && top && with) p.rider_sag = top->height - with->height;
    p.travel_left.reset();  // that of the model stands elsewhere
    return expected;
}

std::optional<StandingAxle> standing_axle(const Ledger& ledger, const Bike& bike, const Swap& swap) {
    const auto read = last_slack(swap);
    if (!read) return std::nullopt;
    const std::set<Point> set = slack_set_after(swap, *read, bike.body.how_read.stand());
    if (set.empty()) return std::nullopt;
    const auto slack = solve_swap(site_of(ledger, bike, swap_at(ledger, swap, *read))).slack;
    if (!slack || !slack->axle || !slack->axle->can_be_set()) return std::nullopt;
    return StandingAxle{*slack->axle->to, set.contains(Point::axle_position)};
}

}  // namespace restand
