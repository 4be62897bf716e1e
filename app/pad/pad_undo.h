#pragma once
// What Undo takes back on an open pad, before anything that was written.

namespace restand {

struct AppState;

// What the question is about stands on the pad again, to be typed anew. False: no question is open.
bool undo_question(AppState& state);
// The digits half typed on the pad are gone. False: there are none.
bool undo_typing(AppState& state);

}  // namespace restand
