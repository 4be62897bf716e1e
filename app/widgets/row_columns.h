#pragma once
// Columns shared by rows of one kind, so that decimal points are aligned vertically.

#include <span>
#include <string_view>

#include "app/views/row.h"
#include "app/widgets/canvas.h"

namespace restand {

/// A number split at its decimal point; text without a decimal point is all `whole`.
struct Cut {
    std::string_view whole, rest;
};
Cut cut_number(std::string_view text);
/// True for digits, a sign and a decimal point; only such text is aligned in columns.
bool is_number(std::string_view text);

struct ReadingColumns {
    enum class Form {
        beside,
        under,
        stacked
    } form = Form::beside;                                ///< position of the ±, or all under the label
    float whole = 0, rest = 0, unit = 0, plus_minus = 0;  ///< px
    float scale = 1, small = 1;  ///< of the value, and of unit and ±, if even stacked is too wide
    Face face = Face::value;                              ///< of the value
    float value() const { return whole + rest; }
};
ReadingColumns reading_columns(const Canvas& canvas, std::span<const Row> rows, float width,
                               Face face = Face::value);

/// Shrinks what stands in `room` px: unit and ± down to their floor, the value as far as it takes.
void shrink_to(const Canvas& canvas, ReadingColumns& columns, float room);

struct TableColumns {
    float was_whole = 0, was_rest = 0, will_whole = 0, will_rest = 0;  ///< px
    float was() const { return was_whole + was_rest; }
    float will() const { return will_whole + will_rest; }
};
TableColumns table_columns(const Canvas& canvas, std::span<const Row> rows);

/// A number with its point at `point_x`, what follows it to the right.
void draw_at_point(Canvas& canvas, Face face, std::string_view text, float point_x, float rest,
                   float baseline, Colour colour, float scale = 1);

}  // namespace restand
