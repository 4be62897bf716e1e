#pragma once
// One page of paper: a drawing with numbers at their places, tables, blanks to write in, cautions. Made to be
// read at arm's length and written on with a marker. A4 or Letter, portrait, 12 mm margins; body text 4 mm
// high.
//
// The page is described by values in millimetres on paper; sheet_of.h makes them from the ledger.
// Text is real text in an embedded font, so that it can be searched and read out.

#include <cstdint>
#include <optional>
#include <span>
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
struct PaperTag {
    PaperSpot at;
    std::optional<PaperSpot> other;
    double offset = 0;
    std::string label, value;
};
struct PaperLabel {   // of an axis: ends, is centred or begins at its spot
    PaperSpot at;
    std::string text;
    enum class Lies { left, middle, right } lies = Lies::middle;
};
// The second column is bold, columns of nothing but numbers are aligned right. A cell before empty ones takes
// their room; a line of one cell is a note on what follows it.
struct PaperTable {
    std::string title;
    std::vector<std::string> head;                         // by column; may be shorter than the lines
    std::vector<std::vector<std::string>> lines;
    bool blank_column = false;                             // one more column, empty, headed 'today'
    bool boxes = false;                                    // a box to tick before each line
    bool numbered = false;                                 // 1, 2, 3 … before each line
};
struct SheetPage {
    std::string title, subtitle, foot;                     // foot: what it is from, id, date
    std::vector<PaperLine> drawing;
    std::vector<PaperTag> tags;
    std::vector<PaperLabel> labels;
    PaperSpot low, high;                                   // the part of the drawing to show
    std::vector<PaperTable> tables;
    std::vector<std::string> cautions;
    std::size_t left_out = 0;                              // lines that did not fit, as the foot says
    std::int64_t made_ms = 0;                              // UTC, stored in the file: same page, same bytes
};
// OpenType fonts; the bytes live as long as the program.
struct PaperFaces { std::span<const unsigned char> regular, bold; };

// The PDF's bytes. Errors: too_large when it does not fit one page even at the smallest text (3 mm),
// subject = the table that does not, else "page"; damaged when a face is no font, io when the PDF cannot be
// made.
Result<std::string> sheet_pdf(const SheetPage& page, Paper paper, const PaperFaces& faces);

// The same in the program's own typeface.
Result<std::string> print(const SheetPage& page, Paper paper);

}  // namespace restand
