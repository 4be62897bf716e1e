#pragma once
// What the desk wants done that touches the world: as values, carried out by the platform after the frame.

#include <cstdint>
#include <variant>
#include <vector>

#include "core/ledger/entry.h"

namespace restand {

namespace effect {
struct Append { std::uint64_t job; std::vector<NewEntry> entries; };   // answered by written(desk, job, …)
struct LoadBaselines { Id bike; };                                     // answered by loaded(desk, …)
}  // namespace effect

using Effect = std::variant<effect::Append, effect::LoadBaselines>;

}  // namespace restand
