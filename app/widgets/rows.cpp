// The rows in one column or in several: what stands above what, and where the next column begins.

#include "app/widgets/rows.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "app/widgets/row_draw.h"

namespace restand {
namespace {

// Space above a row, mm: related rows are close together.
float gap_before(const Row& row, const Row& before) {
    if (std::holds_alternative<row::Heading>(row)) return 5;
    if (std::holds_alternative<row::TableLine>(row))
        return std::holds_alternative<row::TableHead>(before) ? 1.6f : 2.2f;
    if (std::holds_alternative<row::TableHead>(row) || std::holds_alternative<row::Big>(row)) return 3.6f;
    if (std::holds_alternative<row::Note>(row)) return std::holds_alternative<row::Note>(before) ? 1.8f : 3;
    if (std::holds_alternative<row::Choice>(row) || std::holds_alternative<row::Verdict>(row)) return 4;
    return row_gap_mm;
}

// Rows of one kind from the first on, in two columns; how many were drawn.
template <class T>
std::size_t draw_pairs(Canvas& c, std::span<const Row> rows, float x, float width, float between, float& y) {
    const float gap = c.mm(between), wide = (width - gap) / 2;
    std::size_t count = 0;
    while (count < rows.size() && std::holds_alternative<T>(rows[count])) ++count;
    const auto column = [&](std::size_t i, float least) {
        return Column{c, x + static_cast<float>(i % 2) * (wide + gap), wide, {}, {}, least};
    };
    for (std::size_t i = 0; i < count; i += 2) {
        float tall = 0;
        for (std::size_t k = i; k < std::min(i + 2, count); ++k) {
            const Canvas::Dry dry(c);
            tall = std::max(tall, draw_row(column(k, 1), rows[k], y));
        }
        for (std::size_t k = i; k < std::min(i + 2, count); ++k) draw_row(column(k, tall), rows[k], y);
        y += tall + (i + 2 < count ? c.mm(row_gap_mm) : 0);
    }
    return count;
}

// `below`: where each row ends, px from the top, of rows in one column.
float draw_column(Canvas& c, std::span<const Row> rows, float x, float top, float width, bool wide_panel,
                  bool dense, std::vector<float>* below = nullptr) {
    // Only cards use columns on a wide page; text keeps a readable line length.
    const float letters = letters_of(c);
    const float words = std::min(width, c.mm(130) * std::max(1.0f, letters));
    const Column one{c,
                     x,
                     words,
                     reading_columns(c, rows, words, dense ? Face::bold : Face::value),
                     table_columns(c, rows),
                     0,
                     dense};
    const float gap = c.mm(row_gap_mm);
    const float card = c.mm(78) * std::max(0.9f, letters);
    const auto columns = static_cast<std::size_t>(std::clamp((width + gap) / (card + gap), 1.0f, 3.0f));
    const bool two = wide_panel && width > c.mm(72) * letters;

    float y = top;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        if (i > 0) y += c.mm(gap_before(rows[i], rows[i - 1]));
        if (two && std::holds_alternative<row::Button>(rows[i])) {
            i += draw_pairs<row::Button>(c, rows.subspan(i), x, words, row_gap_mm, y) - 1;
            continue;
        }
        if (two && std::holds_alternative<row::Big>(rows[i])) {
            i += draw_pairs<row::Big>(c, rows.subspan(i), x, words, 6, y) - 1;
            continue;
        }
        if (columns > 1 && std::holds_alternative<row::Card>(rows[i])) {
            float tall = 0;
            const float wide = (width - gap * static_cast<float>(columns - 1)) / static_cast<float>(columns);
            for (std::size_t k = 0;
                 k < columns && i < rows.size() && std::holds_alternative<row::Card>(rows[i]); ++k, ++i) {
                const Column part{c, x + static_cast<float>(k) * (wide + gap), wide, {}, {}};
                tall = std::max(tall, draw_row(part, rows[i], y));
            }
            --i;
            y += tall;
            continue;
        }
        y += draw_row(one, rows[i], y);
        if (below) below->push_back(y - top);
    }
    return y - top;
}

// A column may begin with this row: it does not belong to the one before.
bool may_begin(std::span<const Row> rows, std::size_t i) {
    return !std::holds_alternative<row::TableLine>(rows[i]) &&
           !std::holds_alternative<row::Heading>(rows[i - 1]) &&
           !std::holds_alternative<row::TableHead>(rows[i - 1]);
}

// Where each column ends: of about the same height, at a heading if one is near.
std::vector<std::size_t> ends_of_columns(Canvas& c, std::span<const Row> rows, float width,
                                         std::size_t count) {
    const Canvas::Dry dry(c);
    std::vector<float> below;
    draw_column(c, rows, 0, 0, width, false, true, &below);
    std::vector<std::size_t> ends;
    for (std::size_t k = 1; k < count; ++k) {
        const float aim = below.back() * static_cast<float>(k) / static_cast<float>(count);
        const std::size_t from = ends.empty() ? 1 : ends.back() + 1;
        std::size_t best = 0;
        float least = 1e9f;
        for (std::size_t i = from; i < rows.size(); ++i) {
            if (!may_begin(rows, i)) continue;
            const bool heading = std::holds_alternative<row::Heading>(rows[i]);
            const float off = std::abs(below[i - 1] - aim) * (heading ? 0.4f : 1.0f);
            if (off < least) least = off, best = i;
        }
        if (best == 0) break;
        ends.push_back(best);
    }
    ends.push_back(rows.size());
    return ends;
}

}  // namespace

float draw_rows(Canvas& c, std::span<const Row> rows, float x, float top, float width, const RowsLook& look) {
    const float gap = c.mm(8), least = c.mm(62) * letters_of(c);
    const auto count = static_cast<std::size_t>(std::clamp((width + gap) / (least + gap), 1.0f, 3.0f));
    const bool cards = std::any_of(rows.begin(), rows.end(),
                                   [](const Row& row) { return std::holds_alternative<row::Card>(row); });
    if (!look.flows || count < 2 || rows.size() < 4 || cards)
        return draw_column(c, rows, x, top, width, look.wide_panel, false);
    const float wide = (width - gap * static_cast<float>(count - 1)) / static_cast<float>(count);
    float tallest = 0;
    std::size_t from = 0, k = 0;
    for (const std::size_t end : ends_of_columns(c, rows, wide, count)) {
        const float left = x + static_cast<float>(k++) * (wide + gap);
        tallest =
            std::max(tallest, draw_column(c, rows.subspan(from, end - from), left, top, wide, false, true));
        from = end;
    }
    return tallest;
}

}  // namespace restand
