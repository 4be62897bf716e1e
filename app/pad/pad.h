#pragma once
// State of the pad on which numbers and words are typed.

#include <optional>
#include <string>
#include <vector>

#include "app/pad/pad_actions.h"

namespace restand {

struct Pad {
    Field field;
    std::vector<Typed> repeats{};    // repeats of this reading kept so far
    std::string entry{};             // text typed so far
    Unit unit = Unit::mm;
    std::string where{};
    Instrument instrument{};         // of a numeric reading
    bool settled_anew = false;       // between the repeats (Reading)
    std::optional<Spread> spread{};  // of this person (Reading)
    bool editing_where = false;      // letters go to `where`, not to the reading
    // From a draft or from 'as last': the next key starts a new number, erase edits this one
    bool half_typed = false;
    bool anew = false;               // opened on a stored reading: a typed number replaces it
    std::string question{};          // 'same mark, same state?'; empty = not asked
    bool asks_stand = false;         // the question is on which stand it stood
    bool asks_which_stand() const { return asks_stand && !question.empty(); }
    std::string problem{};           // what is wrong with the entry; empty: nothing
    friend bool operator==(const Pad&, const Pad&) = default;
};

// Records what is complete. False: the text is not a value yet, or a question is open. The pad then stays
// open and says so.
bool leave_pad(AppState& state);
// False: nobody is named yet. The page of people is open then, and `then` is done once somebody is.
bool somebody_named(AppState& state, Action then);
void open_pad(AppState& state, const Field& field);
void keep_waiting(AppState& state);   // second readings of a field whose first one is now on disk

}  // namespace restand
