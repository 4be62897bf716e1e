#pragma once
// What draws one row of the side panel. Inside app/widgets only.

#include "app/views/row.h"
#include "app/widgets/key.h"
#include "app/widgets/row_columns.h"

namespace restand {

inline constexpr float row_gap_mm = 2.1f, touch_mm = 12.1f;

// What one row needs from its side panel.
struct Column {
    Canvas& c;
    float x, width;
    ReadingColumns readings;
    TableColumns table;
    float least_button = 0;  // px: as tall as its neighbour
    bool dense = false;      // of a wide page: rows as low as a line and its target allow
};

// 0 for an empty text.
float height_of(Canvas& canvas, Face face, std::string_view text, float width);
void draw_mark(Canvas& canvas, row::Mark mark, float x, float y);
// Its height, px.
float draw(const Column& column, const row::ReadingRow& row, float y);
float draw_row(const Column& column, const Row& row, float y);
// Size of the letters chosen, 1 at 100 %.
float letters_of(const Canvas& canvas);

}  // namespace restand
