#include "core/ledger/answer_uncertainty.h"
#include "core/restore/swap_model.h"

namespace restand {
namespace {

using HeightField = std::optional<Uncertain> UncertainAnswer::*;

// Which heights of a prediction there are, in the order of the outputs.
std::vector<std::pair<State, HeightField>> height_slots(const Prediction& predicted) {
    std::vector<std::pair<State, HeightField>> slots;
    if (predicted.at(State::rider)) slots.emplace_back(State::rider, &UncertainAnswer::rider);
    if (predicted.at(State::static_)) slots.emplace_back(State::static_, &UncertainAnswer::static_);
    if (predicted.at(State::topped_out)) slots.emplace_back(State::topped_out, &UncertainAnswer::topped_out);
    return slots;
}

}  // namespace

Result<UncertainAnswer> uncertain_answer(const SwapCase& swap, std::span<const Input> inputs,
                                         const Remake& remake) {
    const Result<Answer> nominal = restore(swap);
    return nominal ? uncertain_answer(*nominal, inputs, remake) : nominal.error();
}

Result<UncertainAnswer> uncertain_answer(const Answer& nominal, std::span<const Input> inputs,
                                         const Remake& remake) {
    UncertainAnswer uncertain{};
    uncertain.answer = nominal;
    if (inputs.empty()) return uncertain;

    const Setting setting = nominal.setting;
    std::vector<double> read;
    for (const Input& input : inputs) read.push_back(input.value);
    const Result<SwapCase> as_read = remake(read);
    if (!as_read) return as_read.error();
    const auto slots = height_slots(nominal.predicted);
    const Model model = [&](std::span<const double> values) -> std::optional<std::vector<double>> {
        const Result<SwapCase> varied = remake(values);
        if (!varied) return std::nullopt;
        // Only the setting is asked for: without limits, detents and steps this is a quarter of restore().
        Result<SwapModel> solver = swap_model(*varied);
        if (!solver) return std::nullopt;
        const Result<Settings> best = best_setting(*solver, solver->bounds);
        if (!best) return std::nullopt;
        // What is set is held: with a longer tube the same position makes the front longer.
        const double longer = in_mm(varied->set_from - as_read->set_from);
        std::vector<double> out = {best->length - longer, best->installed,
                                   solver->free_length - best->installed};
        const Prediction held =
            predict(*solver, {in_mm(setting.length) + longer, in_mm(setting.installed_length)});
        for (const auto& [state, slot] : slots) {
            if (!held.at(state)) return std::nullopt;
            out.push_back(in_mm(held.at(state)->height));
            out.push_back(in_mm(*held.residual_at(state)));
        }
        return out;
    };

    const Result<std::vector<Uncertain>> outputs = propagate(model, inputs);
    if (!outputs) return outputs.error();
    uncertain.length = (*outputs)[0];
    uncertain.installed_length = (*outputs)[1];
    uncertain.preload = (*outputs)[2];
    for (std::size_t i = 0; i < slots.size(); ++i) {
        uncertain.*(slots[i].second) = (*outputs)[2 * i + 3];
        uncertain.change[static_cast<std::size_t>(slots[i].first)] = (*outputs)[2 * i + 4];
    }
    return uncertain;
}

const Uncertain* must_hold_change(const UncertainAnswer& answer) {
    for (const State state : {answer.answer.hold, State::rider, State::static_, State::topped_out})
        if (const auto& change = answer.change[static_cast<std::size_t>(state)]) return &*change;
    return nullptr;
}

}  // namespace restand
