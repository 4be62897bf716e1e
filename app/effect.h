#pragma once
// What the desk wants done that touches the world: as values, carried out by the platform after the frame.

#include <cstdint>
#include <variant>
#include <vector>

#include "app/task.h"

namespace restand {

namespace effect {
struct Append { std::uint64_t job; std::vector<NewEntry> entries; };   // answered by written(desk, job, …)
struct Send { std::uint64_t job; Task task; };                     // answered by came_back(desk, job, …)
struct Cancel {};                                                      // the errand that is under way
}  // namespace effect

using Effect = std::variant<effect::Append, effect::Send, effect::Cancel>;

}  // namespace restand
