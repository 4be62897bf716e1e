#include "core/measure/uncertainty.h"

#include <algorithm>
#include <cmath>

#include "core/measure/reading.h"

namespace restand {
namespace {

using Outputs = std::optional<std::vector<double>>;

// The model's outputs; nullopt also if one is not finite.
Outputs answer(const Model& model, std::span<const double> x) {
    Outputs y = model(x);
    if (y && !std::all_of(y->begin(), y->end(), [](double v) { return std::isfinite(v); })) y.reset();
    return y;
}

// Step of the central differences. It is well below u, because first order needs the local slope: a step of u
// could cross the kinks at topped out and bump stop. It is far above the noise of a solver (1e-10 mm against
// 0.05/8 mm).
double step_for(const Input& in) {
    return std::max(in.u / 8.0, std::fabs(in.value) * 1e-8);
}

// Writes d(outputs)/d(input i) to `column`. False: the model has no answer on either side. Restores `x`.
bool slopes(const Model& model, std::vector<double>& x, std::size_t i, double step,
            const std::vector<double>& y0, std::span<double> column) {
    const double at = x[i];
    const auto moved = [&](double to) {
        x[i] = to;
        Outputs y = answer(model, x);
        x[i] = at;
        return y;
    };
    const double up = at + step, down = at - step;
    const Outputs above = moved(up), below = moved(down);
    if (!above && !below) return false;

    if (above && below) {
        check(above->size() == y0.size() && below->size() == y0.size(), "a model that changes its outputs");
        // Divide by the step after rounding, not by the nominal one.
        for (std::size_t k = 0; k < y0.size(); ++k) column[k] = ((*above)[k] - (*below)[k]) / (up - down);
        return true;
    }
    // At the edge of the model's domain: one-sided difference, second order if a second step has an answer.
    const std::vector<double>& one = above ? *above : *below;
    const double h = above ? up - at : down - at;
    const Outputs two = moved(at + 2.0 * h);
    check(one.size() == y0.size() && (!two || two->size() == y0.size()), "a model that changes its outputs");
    for (std::size_t k = 0; k < y0.size(); ++k)
        column[k] = two ? (4.0 * one[k] - 3.0 * y0[k] - (*two)[k]) / (2.0 * h) : (one[k] - y0[k]) / h;
    return true;
}

// Combined uncertainty of one output, from its entries of the Jacobian.
Uncertain combined(double value, std::span<const Input> inputs, std::span<const double> jacobian,
                   std::size_t output, std::size_t outputs) {
    // u² = Σ(c·u)², and Welch–Satterthwaite ν = u⁴ / Σ((c·u)⁴/ν).
    double variance = 0.0, fourth = 0.0;
    std::size_t uncertain = 0;
    for (std::size_t i = 0; i < inputs.size(); ++i) {
        if (inputs[i].u == 0.0) continue;
        const double part = std::pow(jacobian[i * outputs + output] * inputs[i].u, 2);
        variance += part;
        fourth += part * part / inputs[i].dof;
        ++uncertain;
    }
    Uncertain result{
        value, std::sqrt(variance), fourth > 0.0 ? variance * variance / fourth : infinite_dof, 0.0, {}};
    if (variance > 0.0) result.expanded = coverage_95(result.dof) * result.u;

    // The uncertainty budget, largest share first.
    result.contributions.reserve(uncertain);
    for (std::size_t i = 0; i < inputs.size(); ++i) {
        if (inputs[i].u == 0.0) continue;
        const double c = jacobian[i * outputs + output];
        const double share = variance > 0.0 ? std::pow(c * inputs[i].u, 2) / variance : 0.0;
        result.contributions.push_back({i, c, share});
    }
    std::stable_sort(result.contributions.begin(), result.contributions.end(),
                     [](const Contribution& a, const Contribution& b) { return a.share > b.share; });
    return result;
}

}  // namespace

std::optional<Error> unsound(std::span<const Input> inputs) {
    for (const Input& in : inputs) {
        if (!std::isfinite(in.value)) return Error{ErrorCode::not_a_number, in.name, "value"};
        if (!std::isfinite(in.u) || in.u < 0.0) return Error{ErrorCode::out_of_range, in.name, "0 <= u"};
        if (in.u > 0.0 && !(in.dof >= 1.0)) return Error{ErrorCode::out_of_range, in.name, "1 <= dof"};
    }
    return std::nullopt;
}

Result<std::vector<Uncertain>> propagate(const Model& model, std::span<const Input> inputs) {
    if (auto error = unsound(inputs)) return *std::move(error);
    std::vector<double> x(inputs.size());
    std::transform(inputs.begin(), inputs.end(), x.begin(), [](const Input& in) { return in.value; });
    const Outputs y0 = answer(model, x);
    if (!y0) return Error{ErrorCode::no_solution, "", "at the inputs themselves"};

    // Jacobian: one column of outputs per input; zero if the input is exact.
    const std::size_t outputs = y0->size();
    std::vector<double> jacobian(inputs.size() * outputs, 0.0);
    for (std::size_t i = 0; i < inputs.size(); ++i) {
        if (inputs[i].u == 0.0) continue;
        const std::span<double> column(jacobian.data() + i * outputs, outputs);
        if (!slopes(model, x, i, step_for(inputs[i]), *y0, column))
            return Error{ErrorCode::no_solution, inputs[i].name, "on neither side"};
    }

    std::vector<Uncertain> results;
    results.reserve(outputs);
    for (std::size_t k = 0; k < outputs; ++k)
        results.push_back(combined((*y0)[k], inputs, jacobian, k, outputs));
    return results;
}

double e_n(double after, double expanded_after, double before, double expanded_before) {
    const double difference = after - before;
    // Equal values agree, also if both are exact (0/0).
    if (difference == 0.0) return 0.0;
    return difference / std::hypot(expanded_after, expanded_before);
}

}  // namespace restand
