#pragma once
// Names of points, and how each is measured.

#include <string>

#include "core/ledger/body.h"

namespace restand::wording {

std::string label(Point point);
// "rear ride height, static"; a name that says the end already says it once: "front sprocket"
std::string label(Point point, End end);
std::string short_label(Point point);                // under a heading that names the group
// What to do, as this bike is read: one or two sentences.
std::string guide(Point point, End end, const BikeBody& bike);
std::string instrument(Point point, const Instrument& with);  // "calliper · reads 0.01 mm"
std::string usual_where(Point point);                // "" = nothing to say where
std::string settled_anew(Point point);               // "seated anew"; "" = makes no difference

}  // namespace restand::wording
