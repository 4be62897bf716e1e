#pragma once
// The difference of two readings and its uncertainty.
//
//   u² = u_a² + u_b², ν by Welch–Satterthwaite (GUM G.4.1). With one instrument at one mark the instrument's
//   shared error cancels in the difference (GUM 5.2.2; reading.h).

#include <algorithm>
#include <cmath>

#include "core/measure/reading.h"

namespace restand {

inline Measured difference(const Reading& from, const Reading& less, bool one_mark) {
    Measured a = measured(from), b = measured(less);
    if (one_mark && from.instrument == less.instrument) a = without_common(a), b = without_common(b);
    Measured m;
    m.value = a.value - b.value;
    m.u = std::hypot(a.u, b.u);
    const double part = std::pow(a.u, 4) / a.dof + std::pow(b.u, 4) / b.dof;
    m.dof = part > 0 ? std::pow(m.u, 4) / part : infinite_dof;
    m.repeats = std::min(a.repeats, b.repeats);
    return m;
}

}  // namespace restand
