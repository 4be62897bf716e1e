#pragma once
// How the app begins on a workshop file: opened and read, its draft taken. Or with what is left of a damaged file, or with
// nothing, and its copies on the page.

#include <filesystem>

#include "app/app_state.h"
#include "core/store/store.h"
#include "platform/tasks.h"

namespace restand {

struct Beginning {
    Store store;
    AppState state;
};
// `anew`: the person said that a new workshop is to be begun where none is.
Result<Beginning> begin_at(const TaskFolders& places, bool anew = false);
// The page that offers copies and a new beginning, where the workshop cannot be opened at all.
Result<Beginning> begin_with_nothing(const TaskFolders& places, const Error& why);

bool missing_or_empty(const std::filesystem::path& workshop);

}  // namespace restand
