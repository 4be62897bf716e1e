#include "core/ledger/setup_then.h"

#include "core/ledger/swap_site.h"

namespace restand {
namespace {
SetUp setup_of(const RecordBody& record, const Entry& entry) {
    SetUp setup;
    setup.bike = entry.bike;
    setup.at = entry.clock;
    for (const SetValue& v : record.values)
        setup.values[{v.end, v.reading.point}] = {v.reading, entry.id, entry.by, entry.clock, {}, false};
    setup.read_with = setup.values;
    return setup;
}
}  // namespace

SetUp setup_then(const Ledger& ledger, const Fact& moment) {
    const Entry& e = moment.entry;
    if (const auto* baseline = std::get_if<BaselineBody>(&moment.body))
        return setup_of(Baseline{e.id, e.bike, e.about, *baseline, e.clock, e.by});
    if (const auto* record = std::get_if<RecordBody>(&moment.body)) return setup_of(*record, e);
    const Swap* swap = ledger.swap(e.id);
    const Bike* bike = swap ? ledger.bike(swap->bike) : nullptr;
    if (bike) return before_of(site_of(ledger, *bike, *swap));
    return setup_at(e.bike, ledger.facts_of(e.bike), e.clock);
}

}  // namespace restand
