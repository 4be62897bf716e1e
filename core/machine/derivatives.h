#pragma once
// Internal to machine and solver: a number that carries its derivatives with respect to N variables (Eigen's
// forward automatic differentiation).

#include <Eigen/Core>
#include <unsupported/Eigen/AutoDiff>

namespace restand {

template <int N>
using Dual = Eigen::AutoDiffScalar<Eigen::Matrix<double, N, 1>>;

}  // namespace restand
