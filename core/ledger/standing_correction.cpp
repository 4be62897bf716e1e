#include "core/ledger/standing_correction.h"

#include <utility>

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

const EarlierSwaps::Moment& EarlierSwaps::at(Clock moment) {
    const auto found = moments_.find(moment);
    if (found != moments_.end()) return found->second;
    Swap then = swap_at(ledger, swap, moment);
    SwapSolution solution = solve_swap(site_of(ledger, bike, then));
    return moments_.emplace(moment, Moment{std::move(then), std::move(solution)}).first->second;
}

std::optional<StandingCorrection> standing_correction(EarlierSwaps& earlier, End end) {
    const Swap& swap = earlier.swap;
    const auto check = last_check(swap, end);
    if (!check || part_read_after(swap, end, *check)) return std::nullopt;
    std::set<Point> made = set_after(swap, end, *check);
    if (made.empty()) return std::nullopt;
    const EndSolution* solved = earlier.at(*check).solution.end(end);
    if (!solved || !solved->input || !solved->orders_what_can_be_ridden()) return std::nullopt;
    const Setting& setting = solved->ordered()->detent;
    if (coils_touch_at(setting, site_of(earlier.ledger, earlier.bike, swap), end)) return std::nullopt;
    return StandingCorrection{*solved->input, setting, std::move(made)};
}

std::optional<ExpectedAsSet> expected_as_set(EarlierSwaps& earlier, const EndSolution& solved) {
    if (!solved.as_set) return std::nullopt;
    ExpectedAsSet expected{*solved.as_set, false};
    const auto check = check_before_setting(earlier.ledger, earlier.swap, solved.end);
    if (!check) return expected;
    const auto& [then, solution] = earlier.at(*check);
    const EndSolution* was = solution.end(solved.end);
    if (!was || !was->as_set) return expected;
    expected.corrected = was->orders_what_can_be_ridden();
    std::array<std::optional<Length>, 3> off;
    for (const State state : all_states) {
        const auto i = static_cast<std::size_t>(state);
        const StoredReading* read = then.stored({Phase::check, solved.end, height_point(state)});
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

std::optional<StandingAxle> standing_axle(EarlierSwaps& earlier) {
    const auto read = last_slack(earlier.swap);
    if (!read) return std::nullopt;
    const std::set<Point> set = slack_set_after(earlier.swap, *read, earlier.bike.body.how_read.stand());
    if (set.empty()) return std::nullopt;
    const auto& slack = earlier.at(*read).solution.slack;
    if (!slack || !slack->axle || !slack->axle->can_be_set()) return std::nullopt;
    return StandingAxle{*slack->axle->to, set.contains(Point::axle_position)};
}

}  // namespace restand
