#pragma once
// The pad on which numbers and words are typed.

#include <optional>
#include <string>
#include <vector>

#include "app/pad/pad_actions.h"

namespace restand {

struct AppState;

struct Pad {
    Field field;
    std::vector<Typed> repeats{};    // kept in this reading so far
    std::string entry{};             // half typed
    Unit unit = Unit::mm;
    std::string where{};
    Instrument instrument{};         // of a reading that is a number
    bool editing_where = false;      // the letters fill `where`, not the reading
    bool half_typed = false;         // from a draft: the next key begins anew, erase goes on with it
    bool anew = false;               // opened on a reading that stands: a number typed starts it anew
    std::string question{};          // 'same mark, same state?'; empty = not asked
    std::string problem{};           // what is wrong with the entry
    friend bool operator==(const Pad&, const Pad&) = default;
};

// Records what is complete. False: what is typed is no value yet, or a question is open; the pad stays and says so.
bool leave_pad(AppState& state);
void open_pad(AppState& state, const Field& field);
void keep_waiting(AppState& state);   // second readings of a field whose first one is now on disk

bool is_text(const Field& field);
bool is_reading(const Field& field);  // in a swap or outside one
Dimension dimension_of(const Field& field);
std::optional<Typed> same_value(const AppState& state, const Field& field);  // what 'as last' would type
// What stood before: in a swap the newest baseline's, outside one the bike's set-up as it is now.
std::optional<StoredReading> last_stored(const AppState& state, const Field& field);

}  // namespace restand
