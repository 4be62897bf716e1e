#include "app/pad/pad_undo.h"

#include "app/app_state.h"

namespace restand {

bool undo_typing(AppState& state) {
    if (!state.pad || state.pad->anew || state.pad->entry.empty() || is_text(state.pad->field)) return false;
    Pad& pad = *state.pad;
    if (pad.editing_where) {
        pad.entry = pad.where;
    } else if (pad.repeats.empty()) {
        open_pad(state, Field(pad.field));  // as it stood
    } else {
        pad.entry.clear();
        pad.problem.clear();
        pad.half_typed = false;
    }
    return true;
}

bool undo_question(AppState& state) {
    if (!state.pad || state.pad->question.empty()) return false;
    Pad& pad = *state.pad;
    pad.question.clear();
    if (pad.repeats.empty() || is_text(pad.field)) return true;
    pad.entry = pad.repeats.back().text;
    pad.half_typed = true;
    pad.repeats.pop_back();
    return true;
}

}  // namespace restand
