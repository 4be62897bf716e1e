#include "app/views/known_from.h"

namespace restand {

KnownFrom known_from(const AppState& state, const Id& baseline, End end, const StoredReading& stored) {
    const Baseline* kept = state.ledger.baseline(baseline);
    const BaselineValue* value = kept ? kept->value(end, stored.reading.point) : nullptr;
    if (value && (stored.entry == value->stored.entry || stored.entry == kept->id))
        return KnownFrom::baseline;
    return is_missed(state.ledger, stored) ? KnownFrom::missed_way : KnownFrom::since;
}

const RestorePlan* way_of(const Ledger& ledger, const StoredReading& stored) {
    const Fact* step = ledger.fact(stored.entry);
    return step && std::holds_alternative<PlanStepBody>(step->body) ? ledger.plan(step->entry.about)
                                                                    : nullptr;
}

bool is_missed(const Ledger& ledger, const StoredReading& stored) {
    const RestorePlan* way = way_of(ledger, stored);
    return way && way->not_restored && is_ride_height(stored.reading.point);
}

}  // namespace restand
