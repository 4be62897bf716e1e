#pragma once
// The printed drawing: to scale in the middle, a column of tags on each side. Tags follow the order of their
// points, so that leaders do not cross.

#include "app/print/sheet_layout.h"

namespace restand::paper {

// The minimum height at which all tags fit, each on the side of its point.
double tags_height(const SheetPage& page, const Fit& fit);
// The height at which the drawing fills the width between its tags.
double full_height(const Ink& ink, const SheetPage& page, double width, const Fit& fit);
void draw(Ink& ink, const SheetPage& page, const Box& area, const Fit& fit);

}  // namespace restand::paper
