#pragma once
// Tables on a page: how wide each column is, where text breaks, which rows stand in which column of the page.
// Nothing is drawn here. Lengths in mm, y down.

#include <string>
#include <vector>

#include "app/print/sheet_ink.h"

namespace restand::paper {

// Text size and row spacing. The first Fit with which all fits on the page is used.
struct Fit {
    double size;     // em size, mm
    double pitch;    // height of a row over `size`
    double drawing;  // minimum height of the drawing
};
double small_size(const Fit& fit);  // of labels, notes, foot; never under 3 mm

inline constexpr double box_side = 4.4;       // mm
inline constexpr double wrapped_pitch = 1.2;  // of a cell's lines, over the size of its text

struct CellLayout {
    double x = 0, w = 0;  // in its row
    std::vector<std::string> lines{};
    Type type{};
    bool right = false;  // aligned at the right end
};
struct RowLayout {
    double h = 0;
    std::vector<CellLayout> cells{};
    enum class Kind { title, note, line } kind = Kind::line;
    bool box = false;                 // to tick, at the left end
    double blank_x = 0, blank_w = 0;  // to write in; 0: none
};
struct TableLayout {
    std::string title;
    RowLayout head;  // title and column heads; again on top of the next column
    std::vector<RowLayout> rows;
};
// `width`: of the table.
TableLayout lay_table(const Ink& ink, const PaperTable& table, double width, const Fit& fit);

struct PlacedRow {
    RowLayout row;
    double x = 0, y = 0;
};
struct Placed {
    std::vector<PlacedRow> rows{};
    double height = 0, column_width = 0;
    std::string too_long{};  // title of the table that does not fit; empty: all fit
    bool all = true;
    int broken = 0;  // rows that needed a second line
};
// Places all tables in an area `width` × `height` from (0, 0) with the least total height. A table is split
// in two only where necessary.
Placed place_tables(const Ink& ink, const std::vector<PaperTable>& tables, double width, double height,
                    const Fit& fit);

}  // namespace restand::paper
