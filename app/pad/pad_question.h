#pragma once
// What is asked once about a value far from the last baseline, from the answer or from what is expected at
// the end of a swap or a way back, against another reading, or outside the usual range. The answer is stored
// with the reading.

#include <string>

namespace restand {

struct AppState;
struct Pad;

struct PadQuestion {
    std::string text;          // "" = nothing to ask
    bool about_stand = false;  // the bike may not have hung free
};
PadQuestion question_of(const AppState& state, const Pad& pad);

}  // namespace restand
