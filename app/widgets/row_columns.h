#pragma once
// Columns that rows of one kind share, so that decimal points stand under each other.

#include <span>
#include <string_view>

#include "app/widgets/canvas.h"

namespace restand {

/// A number cut at its decimal point; a text without one is all `whole`.
struct Cut {
    std::string_view whole, rest;
};
Cut cut_number(std::string_view text);
/// Digits, a sign, a decimal point: it takes part in the columns.
bool is_number(std::string_view text);

struct ReadingColumns {
    enum class Form {
        beside,
        under,
        stacked
    } form = Form::beside;                                ///< where the ± stands, or all under the label
    float whole = 0, rest = 0, unit = 0, plus_minus = 0;  ///< px
    float scale = 1;                                      ///< of the value, where even stacked is too wide
    float value() const { return whole + rest; }
};
ReadingColumns reading_columns(const Canvas& canvas, std::span<const Row> rows, float width);

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
