#include "core/measure/uncertainty.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>

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

std::optional<Error> unsound(std::span<const Input> inputs) {
    for (const Input& in : inputs) {
        if (!std::isfinite(in.value)) return Error{ErrorCode::not_a_number, in.name, "value"};
        if (!std::isfinite(in.u) || in.u < 0.0) return Error{ErrorCode::out_of_range, in.name, "0 <= u"};
        if (in.u > 0.0 && !(in.dof >= 1.0)) return Error{ErrorCode::out_of_range, in.name, "1 <= dof"};
    }
    return std::nullopt;
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

// Monte Carlo (JCGM 101:2008, 7). The C++ standard fixes the output of std::mt19937_64. The distributions are
// our own: those of <random> differ between libraries, and a run must be repeatable on another machine.
class Draws {
public:
    explicit Draws(unsigned long long seed) : engine_(seed) {}

    // Student t with `dof` degrees of freedom; normal if `dof` is infinite. Polar method: w = r² of a point
    // in the unit disc.
    //   normal   v·√(−2·ln w / w)
    //   Student  v·√(ν·(w^(−2/ν) − 1) / w), for any real ν > 0 (R. W. Bailey, Math. Comp. 62 (1994) 779)
    double student(double dof) {
        double v, w;
        do {
            v = uniform();
            const double other = uniform();
            w = v * v + other * other;
        } while (w > 1.0 || w == 0.0);
        const double ln = std::log(w);
        const double squared = std::isinf(dof) ? -2.0 * ln : dof * std::expm1(-2.0 * ln / dof);
        return v * std::sqrt(squared / w);
    }

private:
    // Uniform in [−1, 1), 53 bits.
    double uniform() { return static_cast<double>(engine_() >> 11) * 0x1p-52 - 1.0; }

    std::mt19937_64 engine_;
};

// Mean, u and the shortest interval that holds 95 % of the values (JCGM 101, 7.7). Sorts `y`.
Sampled summary(std::vector<double>& y, std::size_t refused) {
    const auto n = static_cast<double>(y.size());
    const double mean = std::accumulate(y.begin(), y.end(), 0.0) / n;
    double squares = 0.0;
    for (double v : y) squares += (v - mean) * (v - mean);

    std::sort(y.begin(), y.end());
    const auto inside = std::min(static_cast<std::size_t>(std::round(0.95 * n)), y.size() - 1);
    std::size_t best = 0;
    for (std::size_t i = 0; i + inside < y.size(); ++i)
        if (y[i + inside] - y[i] < y[best + inside] - y[best]) best = i;
    return {mean, std::sqrt(squares / (n - 1.0)), y[best], y[best + inside], refused};
}

}  // namespace

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

Result<std::vector<Sampled>> sample(const Model& model, std::span<const Input> inputs, std::size_t runs,
                                    unsigned long long seed) {
    if (auto error = unsound(inputs)) return *std::move(error);
    if (runs < 2) return Error{ErrorCode::out_of_range, "runs", "2 <= x"};

    // An exact input needs no draw; the others are x + u·t (JCGM 101, 6.4.9.4).
    Draws draws(seed);
    std::vector<double> x(inputs.size());
    std::vector<std::vector<double>> values;
    std::size_t refused = 0;
    for (std::size_t run = 0; run < runs; ++run) {
        for (std::size_t i = 0; i < inputs.size(); ++i)
            x[i] = inputs[i].value + (inputs[i].u > 0.0 ? inputs[i].u * draws.student(inputs[i].dof) : 0.0);
        const Outputs y = answer(model, x);
        if (!y) {
            ++refused;
            continue;
        }
        if (values.empty()) values.resize(y->size());
        check(values.size() == y->size(), "a model that changes its outputs");
        for (std::size_t k = 0; k < values.size(); ++k) values[k].push_back((*y)[k]);
    }
    if (runs - refused < 2) return Error{ErrorCode::no_solution, "", "at fewer than two of the draws"};

    std::vector<Sampled> results;
    results.reserve(values.size());
    for (auto& y : values) results.push_back(summary(y, refused));
    return results;
}

double e_n(double after, double expanded_after, double before, double expanded_before) {
    const double difference = after - before;
    // Equal values agree, also if both are exact (0/0).
    if (difference == 0.0) return 0.0;
    return difference / std::hypot(expanded_after, expanded_before);
}

}  // namespace restand
