#include "app/swap/to_set.h"

#include <cmath>
#include <set>

#include "app/app_state.h"
#include "app/swap/reading_rows.h"

namespace restand {

bool is_of_chain_run(Point point) {
    return point == Point::axle_position || point == Point::chain_links;
}

bool is_length_read(const SwapSite& site, End end) {
    const Point point = end == End::rear ? Point::eye_to_eye : Point::fork_position;
    const bool stays = end == End::front || !replaces(site.swap, end, point);
    return stored_at(site, end, Phase::new_part, point) || site.swap.stored({Phase::set, end, point}) ||
           (stays && stored_at(site, end, Phase::before, point));
}

namespace {
// What an end is to be set to: the answer, or the correction once the check has found it not restored, until
// all of it is set. Nothing that must not be ridden.
struct ToSet {
    const CaseInput& input;
    Setting setting;
    bool correction;
    const std::set<Point>* made = nullptr;  // of the correction
};
std::optional<ToSet> to_set(const SolvedSwap& swap, End end) {
    if (const StandingCorrection* standing = swap.standing(end))
        return ToSet{standing->input, standing->setting, true, &standing->made};
    const EndSolution* solved = swap.solution().end(end);
    if (!solved || !solved->input) return std::nullopt;
    const CheckResult* check = solved->judged();
    const bool correction =
        check && check->turns_help() && !is_height_left(unread(swap.site(), Phase::check), end);
    // Once a correction is made, the first answer is outdated.
    const ExpectedAsSet* expected = swap.expected(end);
    if (!correction && expected && expected->corrected) return std::nullopt;
    const Result<Answer>& answer = correction ? solved->correction : solved->answer;
    if (!answer || !answer->can_be_ridden()) return std::nullopt;
    return ToSet{*solved->input, answer->detent, correction};
}
// nullopt: it would be as wrong as a length that was assumed.
std::optional<double> value_in(const ToSet& to, const SwapSite& site, End end, Point point) {
    if (point == Point::spring_preload) return to.setting.preload.value;
    if (point == Point::spring_installed_length)
        return to.input.free_length_known ? std::optional(to.setting.installed_length.value) : std::nullopt;
    if (!is_length_read(site, end)) return std::nullopt;
    if (point == Point::eye_to_eye) return to.setting.length.value;
    return fork_position(to.input, site.swap, to.setting.length).value;
}

// Where the axle is to go: by the answer, or by the correction that the slack has ordered.
struct AxleToSet {
    Length to;
    bool correction, made;
};
std::optional<AxleToSet> axle_to_set(const SolvedSwap& swap) {
    if (const auto& standing = swap.standing_axle()) return AxleToSet{standing->to, true, standing->made};
    const auto& slack = swap.solution().slack;
    if (slack && slack->axle && slack->axle->can_be_set()) return AxleToSet{*slack->axle->to, true, false};
    const auto& chain = swap.solution().chain;
    if (!chain || !chain->axle_from) return std::nullopt;
    return AxleToSet{*chain->axle_from + chain->axle_by, false, false};
}
}  // namespace

std::optional<ValueToSet> value_to_set(const AppState& state, const Field& field) {
    const Point point = field.point;
    const Swap* swap = open_swap(state);
    const SolvedSwap* solved = swap && is_answered(*swap, field.end, point) ? solved_swap(state) : nullptr;
    if (!solved) return std::nullopt;
    if (point == Point::axle_position) {
        const auto axle = axle_to_set(*solved);
        return axle ? std::optional(ValueToSet{in_mm(axle->to), axle->correction}) : std::nullopt;
    }
    if (point == Point::chain_links) {
        const auto& chain = solved->solution().chain;
        return chain ? std::optional(ValueToSet{static_cast<double>(chain->will.run.links), false})
                     : std::nullopt;
    }
    const auto to = to_set(*solved, field.end);
    // Once the spring's length is set as answered, its preload is what follows from it.
    if (!to || !to->correction)
        if (const auto follows = following_preload(*swap, field)) return ValueToSet{in_mm(*follows), false};
    const auto value = to ? value_in(*to, solved->site(), field.end, point) : std::nullopt;
    return value ? std::optional(ValueToSet{*value, to->correction}) : std::nullopt;
}

bool is_answered(const Swap& swap, End end, Point point) {
    if (is_of_chain_run(point)) return refits_chain(swap);
    if (!sets(swap, end)) return false;
    return point == Point::eye_to_eye || point == Point::spring_installed_length ||
           point == Point::fork_position || point == Point::spring_preload;
}

bool awaits_correction(const AppState& state, const ReadAt& spot) {
    const SolvedSwap* solved = solved_swap(state);
    if (!solved || spot.point == Point::chain_links ||
        !is_answered(solved->site().swap, spot.end, spot.point))
        return false;
    const Swap& swap = solved->site().swap;
    const StoredReading* set = swap.stored(spot);
    if (!set) return false;
    // A tenth of a millimetre is what a calliper on a spring tells.
    const auto is_set = [set](double value) {
        return std::fabs(value - measured(set->reading).value) <= 0.1;
    };
    if (spot.point == Point::axle_position) {
        const auto axle = axle_to_set(*solved);
        return axle && axle->correction && !axle->made && !is_set(in_mm(axle->to));
    }
    if (following_preload(swap, field_of(spot))) return false;
    const auto to = to_set(*solved, spot.end);
    if (!to || !to->correction || (to->made && to->made->contains(spot.point))) return false;
    const auto value = value_in(*to, solved->site(), spot.end, spot.point);
    return value && !is_set(*value);
}

std::optional<Field> field_to_correct(const AppState& state, std::optional<Field> besides) {
    const SolvedSwap* solved = solved_swap(state);
    if (!solved) return std::nullopt;
    const auto waits = [&](const ReadAt& spot) {
        const Field field = field_of(spot);
        return awaits_correction(state, spot) && field != besides && !(besides && saving(state, field));
    };
    for (const EndSolution& end : solved->solution().ends)
        for (const Point point :
             {Point::eye_to_eye, Point::fork_position, Point::spring_installed_length, Point::spring_preload})
            if (const ReadAt spot{Phase::set, end.end, point}; waits(spot)) return field_of(spot);
    if (const ReadAt axle{Phase::set, End::rear, Point::axle_position}; waits(axle)) return field_of(axle);
    return std::nullopt;
}

Length fork_position(const CaseInput& input, const Swap& swap, Length length) {
    const SwapInput* before = input.find({Phase::before, Point::fork_position});
    Length now = before ? mm(before->known.value) : mm(0);
    if (const StoredReading* found = swap.stored({Phase::new_part, End::front, Point::fork_position}))
        now = mm(measured(found->reading).value);
    return now - (length - input.swap_case.length.now);
}

}  // namespace restand
