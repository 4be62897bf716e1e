#pragma once
// What a draft calls screens and fields. Keys never change meaning, and their enums may be put in another order.
// Drafts of versions 1 and 2 held numbers: a key of digits is a place in the order of then (draft_keys.cpp).

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

// For each of these, and for End, Phase and Point, whose keys are the ledger's. nullopt: none of that name.
template <class E>
std::optional<E> from_key(std::string_view key);

}  // namespace restand
