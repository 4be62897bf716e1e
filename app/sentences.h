#pragma once
// The sentences people read, shared by app and terminal: what is wrong, where, what to do. No full stop at
// the end. Numbers in mm to a tenth, true minus sign, "≤" for "<=".

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/restore/restore.h"

namespace restand {

// "new_unit.spring.rate_n_per_mm: -95 is out of range; allowed: 0 < rate ≤ 2000"
std::string sentence(const Error& error);
// "Length adjuster ends at 306.0 mm; 4.0 mm further would be needed"
std::string sentence(const Limit& limit, End end);
// What a merge found about the clocks (Store::Merged::clock_apart_ms). 0 gives an empty text.
std::string clocks_apart(std::int64_t apart_ms);

// "4 turns out", "¾ turn in", "leave as it is". Length: positive = out; collar: positive = in.
std::string length_turns(double turns);
std::string collar_turns(double turns);
std::string height_name(State state);  // "Topped out", "Static", "Rider"

}  // namespace restand
