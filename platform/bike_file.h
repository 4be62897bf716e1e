#pragma once
// A bike handed over as a case file of format 2 (core/casefile/ledger_case.h): out of a workshop, and into
// one.

#include <string>
#include <vector>

#include "core/casefile/ledger_case.h"
#include "core/store/store.h"

namespace restand {

// The bike as it stands now. Errors: those of the store; not_found: no such bike.
Result<std::string> bike_file(const Store& store, const Id& bike);

// Writes the bike and its set-up as new entries, all or none: the description, a baseline of the set-up as
// described, and what changed since. Where a bike of that name is known, "(2)" and so on is added. Errors:
// those of the store.
struct TakenBike {
    std::vector<Entry> entries;  // written
    std::string name;
    std::size_t values = 0;
};
Result<TakenBike> take_bike(Store& store, const LedgerCase& c, const std::string& source, const Id& by);

}  // namespace restand
