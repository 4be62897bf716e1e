#pragma once
// Uncertainty of a computed number. The whole function is evaluated with each input varied in turn.
// propagate(): Jacobian by central differences, combined u, Welch–Satterthwaite, 95 % (JCGM 100:2008, 5.1.2,
// G.4.1). Its list of contributions shows which input is worth measuring again.
// monte_carlo.h is an independent check of it.
//
// Simplifications: inputs are independent; a reading that is used twice must be one input.

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

// Computes any number of outputs together. Returns nullopt if there is no answer at these inputs.
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
// One Uncertain per output. Errors: no_solution if the model has no answer at the inputs themselves, or none
// on either side of one input (subject: its name); not_a_number for a value that is not finite; out_of_range
// for u < 0, or u > 0 with dof < 1.
Result<std::vector<Uncertain>> propagate(const Model& model, std::span<const Input> inputs);

// What makes the inputs unfit for propagate(); nullopt: nothing.
std::optional<Error> unsound(std::span<const Input> inputs);

// E_n = (after − before)/√(U_after² + U_before²), ISO 13528:2022, 9.7. Agreement when |E_n| ≤ 1.
double e_n(double after, double expanded_after, double before, double expanded_before);

}  // namespace restand
