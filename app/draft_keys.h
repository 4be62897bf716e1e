#pragma once
// Names of screens and fields in a draft. A key never changes its meaning; the enums may be reordered. Drafts
// of versions 1 and 2 held numbers: a key of digits is the position in the order of that time
// (draft_keys.cpp).

#include <optional>
#include <string_view>

#include "app/navigation.h"
#include "app/pad/field.h"

namespace restand {

std::string_view key(Screen screen);
std::string_view key(Field::Of of);
std::string_view key(BikeField field);
std::string_view key(EventField field);
std::string_view key(PartField field);
std::string_view key(JobField field);

// For each enum above, and for End, Phase and Point, whose keys are the ledger's. nullopt: unknown name.
template <class E>
std::optional<E> from_key(std::string_view key);

}  // namespace restand
