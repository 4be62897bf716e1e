#pragma once
// The swap on the screen: where it stands and what is measured next.

#include <map>
#include <optional>
#include <string>

#include "app/pad/field.h"
#include "app/swap/swap_actions.h"
#include "core/ledger/swap_solution.h"

namespace restand {

const Swap* open_swap(const AppState& state);                       // the swap on the screen
Step6 step_of(const AppState& state);
Field field_of(const ReadAt& spot);                           // of the swap on the screen
std::string label_in(const Swap& swap, End end, Point point);      // of a swap of both ends it says which end
// First wanted one of this step that is neither read nor known of the bike as it stood
std::optional<Field> needed_field(const AppState& state);
bool reachable(const AppState& state, Step6 step);
std::optional<Phase> phase_of(Step6 step);                     // nullopt: the step takes no readings
bool must_be_read(const AppState& state, const Field& field);   // there is no answer without it
// What was typed and refused by the disk, newest of a spot; no reading of the swap until it is stored.
std::map<ReadAt, Reading> refused_readings(const AppState& state, const Swap& swap);
// The previous reading. In a swap: from the newest baseline. Outside one: from the bike's present set-up.
std::optional<StoredReading> last_stored(const AppState& state, const Field& field);
std::optional<Typed> same_value(const AppState& state, const Field& field);   // value that 'as last' types
// Is this reading on its way to disk? Of the swap on the screen, or of `swap`.
bool saving(const AppState& state, const Field& field);
bool saving(const AppState& state, const Field& field, const Id& swap);

}  // namespace restand
