#include "core/ledger/swap_solution.h"

#include <algorithm>
#include <cmath>

#include "core/ledger/checked_swap.h"
#include "core/ledger/swap_end.h"

namespace restand {
namespace {

using P = Point;

void store_reading(SetUp& setup, End end, Point point, StoredReading stored) {
    setup.stale.erase({end, point});
    setup.values[{end, point}] = std::move(stored);
}

// With the new parts, standing as high as before: as far as it is known before anything is solved.
SetUp refitted_setup(const SwapSite& site, SetUp setup) {
    // A tyre of which nothing is read is as large as the one before; of another, only its own size and roll
    // count.
    for (const auto& [part, end] :
         {std::pair{SwapPart::rear_tyre, End::rear}, {SwapPart::front_tyre, End::front}}) {
        const auto read = [&, at = end](P point) {
            return site.swap.stored({Phase::new_part, at, point}) != nullptr;
        };
        if (!site.swap.has(part) || !(read(P::tyre) || read(P::rolling_circumference))) continue;
        setup.values.erase({end, P::tyre});
        setup.values.erase({end, P::rolling_circumference});
    }
    for (const auto& [spot, stored_readings] : site.swap.stored_readings)
        if (spot.phase == Phase::new_part && !stored_readings.empty() &&
            replaces(site.swap, spot.end, spot.point))
            store_reading(setup, spot.end, spot.point, *site.swap.stored(spot));
    setup.read_with = setup.values;
    return setup;
}

std::optional<Length> rear_length(const SetUp& setup, Point point) {
    return setup.length(End::rear, point);
}

bool is_in_slot(const SwapSite& site, Length axle) {
    const auto& slot = site.bike.mechanism.slot_length;
    return axle >= mm(0) && (!slot || axle <= *slot);
}

// With so many links and this much slack at the tight spot, the axle is moved back by this.
struct PlacedAxle {
    ChainRun run;
    Angle tight;
    Length arm, by;
    bool in_slot;
};
std::optional<PlacedAxle> placed_axle(const SwapSite& site, const ChainNow& was, const ChainNow& fitted,
                                      int links, const SetUp& before) {
    PlacedAxle p{refitted(was.run, fitted.run.sprockets, links), {}, {}, {}, true};
    if (site.swap.has(SwapPart::chain)) p.run.length = p.run.pitch * links;
    p.tight = tightest_droop(p.run, fitted.full, fitted.top);
    const auto arm = arm_for(p.run, p.tight, was.tight.slack);
    if (!arm) return std::nullopt;
    p.arm = *arm;
    p.by = *arm - was.arm;
    if (const auto from = rear_length(before, P::axle_position)) p.in_slot = is_in_slot(site, *from + p.by);
    return p;
}

// The link counts to try: as read of the new parts, else the old count and its even neighbours, nearest
// first.
std::vector<int> link_counts(const SwapSite& site, int links) {
    if (const StoredReading* read = site.swap.stored({Phase::new_part, End::rear, P::chain_links}))
        return {static_cast<int>(std::lround(measured(read->reading).value))};
    std::vector<int> list = {links};
    for (int by = 2; by <= 8; by += 2) list.insert(list.end(), {links - by, links + by});
    return list;
}

Error fits_nowhere() {
    return {ErrorCode::no_solution, "chain", "no even count of links near the old one"};
}

// The first count whose axle lies in its slot; none: the one that comes nearest.
Result<PlacedAxle> best_placed(const SwapSite& site, const ChainNow& was, const ChainNow& fitted,
                               const SetUp& before) {
    std::optional<PlacedAxle> best;
    for (const int links : link_counts(site, was.run.links)) {
        const auto p = placed_axle(site, was, fitted, links, before);
        if (!p) continue;
        // Without the slot's length nobody knows how far back it may go.
        if (p->in_slot && site.bike.mechanism.slot_length && rear_length(before, P::axle_position)) return *p;
        if (!best || abs(p->by) < abs(best->by)) best = p;
    }
    return best ? Result<PlacedAxle>(*best) : fits_nowhere();
}

ChainAnswer answer_with(const ChainNow& was, const ChainNow& will, Length by, const SetUp& before) {
    return {.was = was, .will = will, .axle_from = rear_length(before, P::axle_position), .axle_by = by};
}

// Slack hanging and at the tight spot with this run and arm, the wheel hanging as `fitted` hangs.
ChainNow at_arm(const ChainNow& fitted, const ChainRun& run, Length arm) {
    ChainNow now = fitted;
    now.run = run;
    now.arm = arm;
    now.on_stand = slack_at(run, arm, now.stand);
    now.tight = slack_at(run, arm, tightest_droop(run, now.full, now.top));
    return now;
}

// The chain before, and where the axle goes with the new parts, the wheel hanging as before.
struct ChainFit {
    ChainNow was, fitted;
    std::optional<PlacedAxle> place;  // nullopt: the swap leaves chain and sprockets
};
Result<ChainFit> fit_chain(const SwapSite& site, const SetUp& before, const SetUp& with_new_parts,
                           const SetUp& described) {
    const auto was = chain_of(site.bike, before, described);
    if (!was) return was.error();
    const auto fitted = chain_of(site.bike, with_new_parts, described, before);
    if (!fitted) return fitted.error();
    if (!refits_chain(site.swap)) return ChainFit{*was, *fitted, {}};
    const auto place = best_placed(site, *was, *fitted, before);
    if (!place) return place.error();
    return ChainFit{*was, *fitted, *place};
}

// How far the chain moves the axle; nullopt: it leaves it, or that is not known.
std::optional<Length> axle_by(const Result<ChainFit>& fit) {
    return fit && fit->place ? std::optional(fit->place->by) : std::nullopt;
}

// The wheel hangs where the answer puts it: a longer unit lets it lower, and the slack on the stand is read
// there.
ChainAnswer chain_answer(const SwapSite& site, const ChainFit& fit, const SetUp& before, const SetUp& after,
                         const SetUp& described) {
    const auto hangs = chain_of(site.bike, after, described, before);
    const ChainNow& now = hangs ? *hangs : fit.fitted;
    if (!fit.place) return answer_with(fit.was, now, mm(0), before);
    ChainAnswer answer =
        answer_with(fit.was, at_arm(now, fit.place->run, fit.place->arm), fit.place->by, before);
    answer.in_slot = fit.place->in_slot;
    answer.by_count = site.swap.has(SwapPart::chain);
    return answer;
}

std::optional<Attitudes> attitudes(const BikeBody& bike, const SetUp& before, const SetUp& after,
                                   const SetUp& described) {
    const auto was = chassis_of(bike, before, described), will = chassis_of(bike, after, described);
    if (!was || !will) return std::nullopt;
    for (const State state : {State::rider, State::static_}) {
        const auto a = was->in(state), b = will->in(state);
        if (a && b) return Attitudes{state, *a, *b};
    }
    return std::nullopt;
}

// The heights that follow from a prediction; none from one that was assumed.
void put_heights(SetUp& setup, const SwapInputs& in, const Prediction& predicted) {
    for (const State state : all_states)
        if (const auto& standing = predicted.at(state); standing && in.height_before(state)) {
            const Point point = height_point(state);
            store_reading(setup, in.end, point, computed(point, standing->height));
        }
}

// An end that the swap does not set keeps its settings; the axle may have moved.
std::optional<Prediction> left_alone(const SwapInputs& read,
                                     std::optional<Prediction>& rear_with_axle_moved) {
    const auto swap_case = case_as_answered(read);
    if (!swap_case) return std::nullopt;
    Prediction p = predict(*swap_case, swap_case->length.now, swap_case->installed.now);
    // Of a height that nobody read nothing is said.
    for (const State state : all_states)
        if (!read.height_before(state)) p.standing[static_cast<std::size_t>(state)].reset();
    if (read.rear() && swap_case->new_map) rear_with_axle_moved = p;
    return p;
}

// Solves the ends and puts the heights that follow into `after`.
void solve_ends(const SwapSite& site, std::optional<Length> moved, SwapSolution& out, SetUp& after) {
    for (const End end : ends_of(site.swap)) {
        const bool set = sets(site.swap, end);
        const auto read = swap_inputs(site, end, moved);
        std::optional<Prediction> predicted;
        if (set) {
            out.ends.push_back(read ? solve_end(*read) : unsolved_end(end, read.error()));
            if (const auto& answer = out.ends.back().answer) predicted = answer->predicted_detent;
        } else if (read) {
            predicted = left_alone(*read, out.rear_with_axle_moved);
        }
        if (predicted) put_heights(after, *read, *predicted);
    }
}

}  // namespace

const EndSolution* SwapSolution::end(End which) const {
    const auto found =
        std::find_if(ends.begin(), ends.end(), [which](const EndSolution& e) { return e.end == which; });
    return found == ends.end() ? nullptr : &*found;
}

const SwapInput* CaseInput::find(Slot slot) const {
    const auto found =
        std::find_if(inputs.begin(), inputs.end(), [slot](const SwapInput& i) { return i.slot == slot; });
    return found == inputs.end() ? nullptr : &*found;
}

bool CaseInput::assumed(Slot slot) const {
    const SwapInput* input = find(slot);
    return input && input->origin == Origin::assumed;
}

std::optional<Verdict> SwapSolution::verdict() const {
    std::optional<Verdict> worst;
    for (const EndSolution& e : ends) {
        const CheckResult* check = e.judged();
        if (!check) return std::nullopt;
        worst = worse_of(worst.value_or(check->verdict), check->verdict);
    }
    if (refits_chain && slack) worst = worse_of(worst.value_or(slack->verdict), slack->verdict);
    return worst;
}

namespace {
// As read at the check, else at 'set'.
const StoredReading* slack_with_new_parts(const SwapSite& site) {
    const StoredReading* read = slack_read(site, Phase::check);
    return read ? read : slack_read(site, Phase::set);
}

// From where the axle was really set; without that reading, from where the answer put it.
std::optional<AxleCorrection> axle_correction(const SwapSite& site, const ChainAnswer& chain, Length slack) {
    // A taut chain does not say how far it is from having slack.
    if (slack <= mm(0)) return std::nullopt;
    const ChainNow& will = chain.will;
    const auto answered = chain.axle_from ? std::optional(*chain.axle_from + chain.axle_by) : std::nullopt;
    auto now = answered;
    if (const StoredReading* set = site.swap.stored({Phase::set, End::rear, P::axle_position}))
        now = mm(measured(set->reading).value);
    const Length arm_now = now && answered ? will.arm + (*now - *answered) : will.arm;
    const ChainRun run = calibrated(will.run, arm_now, will.stand, slack);
    const auto arm = arm_for(run, will.tight.droop, will.tight.slack);
    if (!arm) return std::nullopt;
    AxleCorrection correction{.by = *arm - arm_now, .to = {}};
    if (!now) return correction;
    correction.to = *now + correction.by;
    correction.in_slot = is_in_slot(site, *correction.to);
    return correction;
}

std::optional<SlackCheck> slack_check(const SwapSite& site, const ChainAnswer& chain, const SetUp& before) {
    const StoredReading* read = slack_with_new_parts(site);
    const StoredReading* was = before.stored(End::rear, P::chain_slack);
    if (!read || !was) return std::nullopt;
    const bool same = read->reading.instrument == was->reading.instrument;
    const auto known = [same](const StoredReading& stored) {
        const Measured m = measured(stored.reading);
        return same ? without_common(m) : m;
    };
    SlackCheck check{.to_be = chain.will.on_stand.slack,
                     .is = mm(known(*read).value),
                     .expanded = mm(std::hypot(expanded_95(known(*read)), expanded_95(known(*was)))),
                     .verdict = {},
                     .axle = {}};
    check.verdict = verdict_on(check.is - check.to_be, check.expanded, slack_tolerance);
    if (check.verdict == Verdict::not_restored) check.axle = axle_correction(site, chain, check.is);
    return check;
}
}  // namespace

SwapSolution solve_swap(const SwapSite& site) {
    const SetUp before = before_of(site), described = described_of(site, before);
    // The whole bike after the swap: new parts, heights as answered, the axle moved.
    SetUp after = refitted_setup(site, before);
    const auto fit = fit_chain(site, before, after, described);
    SwapSolution out{.ends = {}, .chain = Error{}, .slack = {}, .attitudes = {}, .rear_with_axle_moved = {}};
    solve_ends(site, axle_by(fit), out, after);
    if (const auto from = rear_length(before, P::axle_position), by = axle_by(fit); from && by)
        store_reading(after, End::rear, P::axle_position, computed(P::axle_position, *from + *by));
    after.read_with = after.values;
    out.chain = fit ? Result<ChainAnswer>(chain_answer(site, *fit, before, after, described)) : fit.error();
    if (out.chain) out.slack = slack_check(site, *out.chain, before);
    out.refits_chain = refits_chain(site.swap);
    out.attitudes = attitudes(site.bike, before, after, described);
    return out;
}

namespace {
std::optional<Length> axle_by(const SwapSite& site) {
    if (!refits_chain(site.swap)) return std::nullopt;
    const SetUp before = before_of(site);
    return axle_by(fit_chain(site, before, refitted_setup(site, before), described_of(site, before)));
}
}  // namespace

Result<CaseInput> case_of(const SwapSite& site, End end) {
    const auto read = swap_inputs(site, end, end == End::rear ? axle_by(site) : std::nullopt);
    if (!read) return read.error();
    return case_input(*read, case_as_answered(*read));
}

Result<UncertainAnswer> uncertainty_of(const SwapSite& site, const SwapSolution& solution, End end) {
    const EndSolution* solved = solution.end(end);
    if (!solved) return Error{ErrorCode::missing, std::string(key(end)), ""};
    if (!solved->answer) return solved->answer.error();
    const auto moved = solution.chain ? std::optional(solution.chain->axle_by) : std::nullopt;
    const auto read = swap_inputs(site, end, moved);
    if (!read) return read.error();
    return uncertain_answer(*solved->answer, as_inputs(read->list), [&](std::span<const double> numbers) {
        return make_case(*read, read->with(numbers), read->arm_longer);
    });
}

}  // namespace restand
