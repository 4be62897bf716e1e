#pragma once
// The keypad that replaces the side panel: typed text beside the last value, repeats, and keys large
// enough for a gloved thumb.
//
//   title                [as last 310.0] [x]        letters: vowels begin the rows, as in a glossary
//   [309.9] [309.8_] [   ]                          A B C D  # '   7 8 9
//   mean 309.85 ...                                 E F G H  , :   4 5 6
//   7 8 9  erase                                    I J K L M N    1 2 3
//   4 5 6  unit                                     O P Q R S T    . 0 -
//   1 2 3  sign                                     U V W X Y Z    / ( )
//   . 0 [ primary ]                                 shift space erase [ primary ]

#include "app/views/page_view.h"
#include "app/widgets/canvas.h"

namespace restand {

struct PadUi {
    bool other_case = false;  ///< shift was tapped; for one letter
};

/// The smallest width in px that holds its keys, margins included.
float pad_width(const Canvas& canvas, const PadView& pad);
/// The smallest height in px.
float pad_height(const Canvas& canvas, const PadView& pad);

void draw_pad(Canvas& canvas, const PadView& pad, const Primary& primary, const Rect& area, PadUi& ui);

}  // namespace restand
