#pragma once
// Case format 2: one bike of the ledger in a file, by its description and its set-up. The keys are those of
// the ledger's entries (codec/fields.h), so a bike goes from the app to a file and back with every value as
// typed, and a command computes with exactly what the app computes with. Who read a value, when and in which
// swap is not in the file, but a swap on the bike may be, with its own readings. case.md lists every key.

#include "core/ledger/setup.h"

namespace restand {

struct LedgerCase {
    std::string note;
    BikeBody bike;
    std::vector<SetValue> set_up;     // as it stands
    std::vector<SetValue> described;  // as it stood when its geometry was measured; empty: as it stands
    bool asks = false;                // it has more than a bike: "new", targets, adjusters or a pose
    std::optional<Swap> swap{};       // made on the bike as it stands (ledger_swap.h)
};

// True if the text is JSON of format 2.
bool is_ledger_case(std::string_view text);
// The bike as it stands now; heights that a later change moved are where it put them, and say that they are
// computed (ledger/setup.h). The ledger must hold
// the bike's baselines and the changes since the newest one.
LedgerCase ledger_case_of(const Ledger& ledger, const Bike& bike);
std::string write_ledger_case(const LedgerCase& c);
// Reads the bike. What a swap changes, targets and adjusters are for read_bike_case() (bike_json.h). Errors:
// as in case_json.h; an entry's key that nobody knows is refused, unlike in an entry.
Result<LedgerCase> read_ledger_case(std::string_view text);

// A set-up of these values, all read together.
SetUp setup_of(const std::vector<SetValue>& values);

}  // namespace restand
