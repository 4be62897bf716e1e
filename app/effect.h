#pragma once
// What the app state wants done outside the app, as values. The platform carries them out after the frame.

#include <cstdint>
#include <variant>
#include <vector>

#include "app/task.h"

namespace restand {

namespace effect {
struct Append { std::uint64_t job; std::vector<NewEntry> entries; };   // answered by written(state, job, …)
struct Send { std::uint64_t job; Task task; };                     // answered by came_back(state, job, …)
struct Cancel {};                                                      // the task in progress
}  // namespace effect

using Effect = std::variant<effect::Append, effect::Send, effect::Cancel>;

}  // namespace restand
