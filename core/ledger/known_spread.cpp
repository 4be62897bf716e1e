#include "core/ledger/known_spread.h"

#include <algorithm>
#include <cmath>

namespace restand {
namespace {

struct PooledSpread {
    double squares = 0.0, dof = 0.0;
    void add(const Reading& reading) {
        const double mean = measured(reading).value;
        for (const Typed& typed : reading.repeats) squares += std::pow(canonical_value(typed) - mean, 2);
        dof += static_cast<double>(reading.repeats.size()) - 1.0;
    }
    double deviation() const { return dof > 0.0 ? std::sqrt(squares / dof) : 0.0; }
};

}  // namespace

std::optional<Spread> known_spread(const Ledger& ledger, const Id& by, Point point) {
    if (is_text(point)) return std::nullopt;
    const Spread usual = usual_spread(point);
    PooledSpread read{usual.read * usual.read * usual.read_dof, usual.read_dof};
    PooledSpread settled{usual.settled * usual.settled * usual.settled_dof, usual.settled_dof};
    const double before = read.dof + settled.dof;
    for (const Bike* bike : ledger.bikes())
        for (const Swap* swap : ledger.swaps(bike->id))
            for (const auto& [at, stored] : swap->stored_readings)
                if (at.point == point)
                    for (const StoredReading& s : stored)
                        if (s.by == by) (s.reading.settled_anew ? settled : read).add(s.reading);
    if (read.dof + settled.dof == before) return std::nullopt;
    if (!is_settled(point)) return Spread{read.deviation(), read.dof, read.deviation(), read.dof};
    // Until the bike was settled anew, how it settles is the usual, beside what this person reads it to.
    const double usual_settling = usual.settled * usual.settled - usual.read * usual.read;
    if (settled.dof == usual.settled_dof)
        return Spread{read.deviation(), read.dof, std::hypot(read.deviation(), std::sqrt(usual_settling)),
                      settled.dof};
    return Spread{read.deviation(), read.dof, std::max(read.deviation(), settled.deviation()), settled.dof};
}

}  // namespace restand
