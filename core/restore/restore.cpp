#include "core/restore/restore.h"

#include <algorithm>
#include <cmath>

#include "core/restore/swap_model.h"

namespace restand {
namespace {

Setting as_setting(const SwapModel& model, const SwapCase& swap, Settings at) {
    const Settings read = as_read(model, at);
    Setting s{
        .length = mm(read.length),
        .installed_length = mm(read.installed),
        .preload = mm(model.free_length - read.installed),
        .length_turns = {},
        .collar_turns = {},
        .lengthened = mm((read.length - at.length) - (as_read(model, model.now).length - model.now.length))};
    if (swap.length.per_turn) s.length_turns = mm(at.length - model.now.length) / *swap.length.per_turn;
    // Turning the collar in shortens the spring.
    if (swap.installed.per_turn)
        s.collar_turns = mm(model.now.installed - at.installed) / *swap.installed.per_turn;
    return s;
}

// One turn if the adjuster has a thread, else its detent, else 1 mm.
double one_step(const Adjuster& adjuster) {
    if (adjuster.per_turn) return adjuster.per_turn->value;
    return adjuster.detent.value > 0.0 ? adjuster.detent.value : 1.0;
}

// Effect of one step at the answer, from the exact derivatives: unit longer, collar in.
void add_step_effects(SwapModel& model, const SwapCase& swap, Settings at, Answer& answer) {
    const double longer = one_step(swap.length), in = one_step(swap.installed);
    answer.length_step.setting = mm(longer);
    answer.collar_step.setting = mm(in);
    for (const State state : all_states) {
        if (!answer.predicted.at(state)) continue;
        const std::optional<Unconstrained> leant = unconstrained(model, state, at, true);
        if (!leant) continue;
        const auto put = [state](Step& step, double change) {
            (state == State::topped_out ? step.topped_out
             : state == State::static_  ? step.static_
                                        : step.rider) = mm(change);
        };
        put(answer.length_step, longer * leant->d_length);
        put(answer.collar_step, -in * leant->d_installed);
    }
}

bool has(const Answer& answer, LimitCode code) {
    return std::any_of(answer.limits.begin(), answer.limits.end(),
                       [code](const Limit& limit) { return limit.code == code; });
}

bool holds(const SwapModel& model, const SwapCase& swap, const Answer& answer) {
    if (!answer.can_be_ridden() || has(answer, LimitCode::off_the_map)) return false;
    const auto residual = answer.predicted.residual_at(model.must_hold);
    return residual && abs(*residual) <= swap.tolerance;
}

Result<Answer> answer_of(SwapModel& model, const SwapCase& swap) {
    const Result<Settings> wanted = best_setting(model, no_bounds());
    if (!wanted) return wanted.error();
    // The best without limits is also the best within them where it does not exceed them.
    const Result<Settings> setting =
        inside(model.bounds, *wanted) ? wanted : best_setting(model, model.bounds);
    if (!setting) return setting.error();
    const Settings detent = best_detent(model, swap, *setting);

    Answer answer;
    answer.hold = model.must_hold;
    answer.wanted = as_setting(model, swap, *wanted);
    answer.setting = as_setting(model, swap, *setting);
    answer.detent = as_setting(model, swap, detent);
    answer.before = before(model);
    answer.predicted = predict(model, *setting);
    answer.predicted_detent = predict(model, detent);
    answer.limits = limits_of(model, swap, *wanted, *setting, detent);
    add_step_effects(model, swap, *setting, answer);
    answer.held = holds(model, swap, answer);
    return answer;
}

// Stores measured height − predicted height at the present setting. Every later prediction adds it.
void shift_by_check(SwapModel& model, const Checked& checked) {
    const Prediction expected = predict(model, model.now);
    const std::optional<Length> read[] = {checked.topped_out, checked.static_, checked.rider};
    for (const State state : all_states) {
        const auto& measured = read[static_cast<std::size_t>(state)];
        if (measured && expected.at(state))
            of(model.offset, state) = (*measured - expected.at(state)->height).value;
    }
}

}  // namespace

bool Answer::can_be_ridden() const {
    return !has(*this, LimitCode::coil_bind_before_full_travel) && !has(*this, LimitCode::travel_exhausted);
}

std::string_view key(LimitCode code) {
    switch (code) {
        case LimitCode::length_adjuster_bound:
            return "length_adjuster_bound";
        case LimitCode::negative_preload:
            return "negative_preload";
        case LimitCode::coil_bind_before_full_travel:
            return "coil_bind_before_full_travel";
        case LimitCode::off_the_map:
            return "off_the_map";
        case LimitCode::travel_exhausted:
            return "travel_exhausted";
        case LimitCode::collar_bound:
            return "collar_bound";
    }
    return "";
}

std::string_view key(State state) {
    switch (state) {
        case State::topped_out:
            return "topped_out";
        case State::static_:
            return "static";
        case State::rider:
            return "rider";
    }
    return "";
}

std::optional<State> height_state(Point point) {
    const auto found = std::find(ride_heights.begin(), ride_heights.end(), point);
    if (found == ride_heights.end()) return std::nullopt;
    return static_cast<State>(found - ride_heights.begin());
}

Result<Answer> restore(const SwapCase& swap) {
    if (auto fine = validate(swap); !fine) return fine.error();
    Result<SwapModel> model = swap_model(swap);
    if (!model) return model.error();
    return answer_of(*model, swap);
}

Prediction predict(const SwapCase& swap, Length length, Length installed_length) {
    Result<SwapModel> model = swap_model(swap);
    if (!model) return {};
    return predict(*model, at_stop(*model, {length.value, installed_length.value}));
}

Result<Answer> correct(const SwapCase& swap, const Checked& checked) {
    if (auto fine = validate(swap); !fine) return fine.error();
    for (const auto& read : {std::optional(checked.length), std::optional(checked.installed_length),
                             checked.topped_out, checked.static_, checked.rider})
        if (read && !is_finite(*read)) return Error{ErrorCode::not_a_number, "check", "finite"};

    Result<SwapModel> model = swap_model(swap);
    if (!model) return model.error();
    // A height that was not read again cannot be corrected. Without a rider height the static height must
    // hold, as in the first answer.
    if (!checked.rider) model->must_hold = State::static_;
    const auto& read = model->must_hold == State::rider ? checked.rider : checked.static_;
    if (!read || !of(model->aim, model->must_hold))
        return Error{ErrorCode::missing, "check.ride_height_mm.rider",
                     "rider or static ride height, as before"};

    model->now = at_stop(*model, {checked.length.value, checked.installed_length.value});
    shift_by_check(*model, checked);
    return answer_of(*model, swap);
}

}  // namespace restand
