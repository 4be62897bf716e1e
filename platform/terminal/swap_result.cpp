#include "platform/terminal/swap_result.h"

#include <algorithm>

#include "app/sentences.h"

namespace restand {
namespace {

using P = Point;

bool is_assumed(const CaseInput& input, Point point) {
    return input.assumed({Phase::before, point}) || input.assumed({Phase::new_part, point});
}

bool is_read(const CaseInput& input, State state) {
    const Slot slot{Phase::before, height_point(state)};
    return input.find(slot) && !input.assumed(slot);
}

// Without the numbers that follow from what was assumed alone.
Prediction as_known(Prediction p, const CaseInput& input) {
    for (const State state : all_states)
        if (!is_read(input, state)) p.standing[static_cast<std::size_t>(state)].reset();
    const bool top = is_read(input, State::topped_out), rider = is_read(input, State::rider);
    if (!top || !is_read(input, State::static_)) p.free_sag.reset();
    if (!top || !rider) p.rider_sag.reset(), p.travel_left.reset();
    if (is_assumed(input, P::spring_rate)) p.wheel_rate.reset();
    return p;
}

// A spring that stays, from a preload that nobody knows: what it is to be is known, how far to turn is not.
Answer as_known(Answer a, const CaseInput& input) {
    for (Prediction* p : {&a.before, &a.predicted, &a.predicted_detent}) *p = as_known(*p, input);
    if (input.assumed({Phase::before, P::spring_preload}) && !input.find({Phase::new_part, P::spring_rate}))
        for (Setting* s : {&a.wanted, &a.setting, &a.detent}) s->collar_turns.reset();
    return a;
}

UncertainAnswer as_known(UncertainAnswer u, const CaseInput& input) {
    u.answer = as_known(u.answer, input);
    for (const auto& [state, height] : {std::pair{State::topped_out, &u.topped_out},
                                        {State::static_, &u.static_},
                                        {State::rider, &u.rider}})
        if (!is_read(input, state)) height->reset();
    return u;
}

Result<EndResult> end_result(const SwapResult& of, const EndSolution& end) {
    if (!end.input) return in_swap(end.input.error(), of.of, end.end);
    auto answer = uncertainty_of(of.of.site(), of.solution, end.end);
    if (!answer && answer.error().code != ErrorCode::no_solution)
        return in_swap(answer.error(), of.of, end.end);
    if (answer) answer = as_known(*answer, *end.input);
    EndResult out{&end, end_case(of.of, end), answer};
    if (end.as_set) out.as_set = as_known(*end.as_set, *end.input);
    if (const Answer* ordered = end.ordered()) out.correction = as_known(*ordered, *end.input);
    return out;
}

}  // namespace

bool SwapResult::held() const {
    const auto& chain = solution.chain;
    return std::all_of(ends.begin(), ends.end(),
                       [](const EndResult& e) { return e.answer && e.answer->answer.held; }) &&
           (!refits_chain(of.swap) || (chain && chain->in_slot));
}

Result<std::unique_ptr<SwapResult>> solved(const LedgerSwap& of) {
    std::unique_ptr<SwapResult> out(new SwapResult{of, solve_swap(of.site())});
    const auto& chain = out->solution.chain;
    if (refits_chain(of.swap) && !chain && chain.error().code != ErrorCode::no_solution)
        return in_swap(chain.error(), of, End::rear);
    for (const EndSolution& end : out->solution.ends) {
        auto one = end_result(*out, end);
        if (!one) return one.error();
        out->ends.push_back(std::move(*one));
    }
    return out;
}

std::string no_verdict(const SwapResult& result, const EndResult& end) {
    const EndSolution& s = *end.solution;
    const bool again = std::any_of(ride_heights.begin(), ride_heights.end(), [&](P point) {
        return result.of.swap.stored({Phase::check, s.end, point});
    });
    if (!again || s.judged()) return "";
    if (!s.check) return sentence(in_swap(s.check.error(), result.of, s.end));
    return "no height was read both before the swap and at the check";
}

std::string_view verdict_key(Verdict verdict) {
    constexpr std::string_view keys[] = {"restored", "not_restored", "cannot_tell"};
    return keys[static_cast<std::size_t>(verdict)];
}

}  // namespace restand
