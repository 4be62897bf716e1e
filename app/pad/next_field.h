#pragma once
// The field that a pad opens when the one before is complete.

#include <optional>

#include "app/pad/field.h"

namespace restand {

struct AppState;
// Without `after`: the first that the step of the swap still needs. nullopt: none is left.
std::optional<Field> next_field(const AppState& state, std::optional<Field> after);
// The next number of the part on the shelf that is not read, without `after` the first; what lies inside it
// is read on request.
std::optional<Field> next_of_item(const AppState& state, std::optional<Point> after);

}  // namespace restand
