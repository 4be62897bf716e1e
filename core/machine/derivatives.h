#pragma once
// Inside the machine and the solver only: a number that carries its derivatives by N things at once (forward
// automatic differentiation, Eigen's).

#include <Eigen/Core>
#include <unsupported/Eigen/AutoDiff>

namespace restand {

template <int N>
using Dual = Eigen::AutoDiffScalar<Eigen::Matrix<double, N, 1>>;

}  // namespace restand
