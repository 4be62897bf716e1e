#pragma once
// One page of paper: a drawing with numbers at their places, tables, blanks to write in, cautions. Made to be
// read at arm's length and written on with a marker. A4 or Letter, portrait, 12 mm margins; body text 4 mm high.
//
// The page is described by values in millimetres on paper; whoever knows the bike makes them (app/paper).
// Text is real text in an embedded font, so that it can be searched and read out.

#include <optional>
#include <string>
#include <vector>

#include "core/quantity/result.h"

namespace restand {

enum class Paper { a4, letter };
struct PaperSpot { double x = 0, y = 0; };                 // mm, in the drawing: x right, y up
struct PaperLine {
    std::vector<PaperSpot> points;
    enum class Pen { wide, narrow, hidden, axis, ghost } pen = Pen::wide;   // ISO 128
    bool closed = false, filled = false;
};
struct PaperTag { PaperSpot at; std::optional<PaperSpot> other; double offset = 0; std::string label, value; };
struct PaperTable {
    std::string title;
    std::vector<std::string> head;
    std::vector<std::vector<std::string>> lines;           // "" in the last column: a blank to write in
    bool blank_column = false;                             // one more column, empty, headed 'today'
    bool boxes = false;                                    // a box to tick before each line
};
struct SheetPage {
    std::string title, subtitle, foot;                     // foot: what it is from, id, date
    std::vector<PaperLine> drawing;
    std::vector<PaperTag> tags;
    PaperSpot low, high;                                   // the part of the drawing to show
    std::vector<PaperTable> tables;
    std::vector<std::string> cautions;
};
// The PDF's bytes. Error too_large when it does not fit one page even at the smallest text (3 mm): subject = the
// table that does not.
Result<std::string> sheet_pdf(const SheetPage& page, Paper paper);

}  // namespace restand
