#pragma once
// The demo team's season: a workshop file as one year of work would have left it. Team, people, bikes, parts
// and circuits are invented.
//
// Every number is read off a bike that follows the core's own mechanics (season_truth.h) and written down the
// way the app writes: entries through the store, answers from the solver, baselines from finished swaps.

#include <filesystem>

#include "core/quantity/result.h"

namespace restand {

// Makes the file when nothing is there: first beside its place as NAME.unfinished, then
// moved. A workshop that is there already stays as it is and is no error. Errors as Store::open(); `io` when
// it cannot be moved into place. After an error nothing is left behind.
Outcome make_demo(const std::filesystem::path& workshop);

}  // namespace restand
