#pragma once
// The drawing on a page of paper: to scale in the middle, its tags in a column on either side, in the order of
// what they name, with leaders that do not cross.

#include "app/print/sheet_layout.h"

namespace restand::paper {

// The least height at which the tags find room, each on the side of what it names.
double tags_height(const SheetPage& page, const Fit& fit);
// The height at which the drawing fills the width between its tags.
double full_height(const Ink& ink, const SheetPage& page, double width, const Fit& fit);
void draw(Ink& ink, const SheetPage& page, const Box& area, const Fit& fit);

}  // namespace restand::paper
