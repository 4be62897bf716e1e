#pragma once
// Where the cells of a table go: columns, heights of lines, one or two columns of sections.

#include <array>
#include <span>
#include <string>
#include <vector>

#include "app/views/page_view.h"
#include "app/widgets/canvas.h"

namespace restand {

// Line pitch; a tapped line's target is 2 mm less.
inline constexpr float tapped_mm = 8.1f, tapped_by_mouse_mm = 6.3f;

struct ColumnPlace {
    float x = 0, width = 0, whole = 0, rest = 0;  // of a number column: digits before and after its point
};
// Column places in one width; stacked: too narrow for them, so the cells stand under the first one.
struct TableLayout {
    std::vector<ColumnPlace> columns;
    bool stacked = false;
    bool compact = false;  // lines as close as their letters allow
};
// The lines in one or two columns of sections.
struct TableSheets {
    std::array<std::span<const PageTable::Line>, 2> lines;
    float width = 0, gap = 0;
    std::size_t count = 1;
};
// Two columns stand beside each other where each has so much room.
struct Beside { float least_mm, gap_mm; };
inline constexpr Beside on_a_page{84, 8}, under_a_drawing{46, 5};

Face face_of(const PageTable::Column& column);
bool is_whole(const PageTable::Line& line);           // one cell over all columns
std::string all_but_first(const PageTable::Line& line);   // "b · c"
TableLayout layout_of(const Canvas& canvas, const PageTable& table, std::span<const PageTable::Line> lines,
                      float width, bool compact = false);
float line_height(const Canvas& canvas, const PageTable& table, const TableLayout& layout,
                  const PageTable::Line& line, float width);
float head_height(const Canvas& canvas, const PageTable& table, const TableLayout& layout);
TableSheets sheets_of(const Canvas& canvas, const PageTable& table, float width, Beside beside);
// True if a table under a drawing so wide has its two sections side by side.
bool has_room_beside(const Canvas& canvas, float width);
// As many words as fit on one line, and "…".
std::string cut_to(const Canvas& canvas, Face face, const std::string& text, float room);

}  // namespace restand
