#pragma once
// Values as a person would type them: on a pad, and as a restore plan says and records them.

#include "core/ledger/setup.h"

namespace restand {

double value_of(const StoredReading& stored);      // canonical
// The original text of one reading; several, or one that is computed, as every page shows them.
Typed as_typed(const Reading& reading);
// One number on the screen may stand for both.
bool shown_alike(double a, double b, Unit unit);
// Turns of an adjuster, signed: positive = longer, or collar in. nullopt: its pitch is not known.
std::optional<double> turns_between(const SetUp& now, End end, Point point, double from, double to);

}  // namespace restand
