#pragma once
// Starts the app on a workshop file: opens and reads it, and takes its draft. Otherwise starts with what is
// left of a damaged file, or with nothing and the page of its backups.

#include <filesystem>

#include "app/app_state.h"
#include "core/store/store.h"
#include "platform/tasks.h"

namespace restand {

struct Beginning {
    Store store;
    AppState state;
};
// `anew`: the person asked to begin a new workshop because there is none.
Result<Beginning> begin_at(const TaskFolders& places, bool anew = false);
// The page that offers backups and a new beginning, where the workshop cannot be opened at all.
Result<Beginning> begin_with_nothing(const TaskFolders& places, const Error& why);

bool missing_or_empty(const std::filesystem::path& workshop);

}  // namespace restand
