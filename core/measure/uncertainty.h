#pragma once
// How sure is a computed number? Inputs with standard uncertainties go through a whole function once per
// input. First route: Jacobian by central differences, combined u, Welch–Satterthwaite, 95 % (JCGM 100:2008,
// 5.1.2, G.4.1).
// Second opinion: Monte Carlo (JCGM 101:2008). The budget names the input whose repetition gains most.
//
// Simplifications: inputs are independent unless they are one reading (then they are one input); Monte Carlo
// draws normal for finite dof by scaled t, fixed seed, so a run can be repeated.

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/quantity/result.h"

namespace restand {

struct Input {
    std::string name;   // a point's key or a field's path
    double value = 0.0;
    double u = 0.0;     // standard uncertainty; 0 = taken as exact
    double dof = 0.0;   // may be infinite
};

// Any number of outputs computed together; nullopt when the function has no answer at that input.
using Model = std::function<std::optional<std::vector<double>>(std::span<const double> inputs)>;

struct Contribution {
    std::size_t input;    // index
    double sensitivity;   // d(output)/d(input)
    double share;         // of the variance, 0..1
};
struct Uncertain {
    double value = 0.0;
    double u = 0.0;
    double dof = 0.0;
    double expanded = 0.0;                     // 95 %
    std::vector<Contribution> contributions;   // largest share first; exact inputs are not listed
};
// One Uncertain per output. Error no_solution when the model has no answer at the inputs themselves, or on
// neither side of an input (subject: its name); not_a_number or out_of_range for an input that is no number,
// has u < 0, or u > 0 with dof < 1.
Result<std::vector<Uncertain>> propagate(const Model& model, std::span<const Input> inputs);

struct Sampled { double mean, u, low, high; std::size_t refused; };  // shortest 95 % interval
Result<std::vector<Sampled>> sample(const Model& model, std::span<const Input> inputs, std::size_t runs,
                                    unsigned long long seed);

// E_n = (after − before)/√(U_after² + U_before²), ISO 13528:2022, 9.7. Agreement when |E_n| ≤ 1.
double e_n(double after, double expanded_after, double before, double expanded_before);

}  // namespace restand
