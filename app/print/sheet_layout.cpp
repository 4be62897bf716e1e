#include "app/print/sheet_layout.h"

#include <algorithm>
#include <numeric>

namespace restand::paper {
namespace {

constexpr double gutter = 7;        // between two columns of the page
constexpr double blank_width = 18;  // a marker's number
constexpr double least_text = 14;   // a text column gets no narrower
constexpr double between_tables = 4;

std::string_view cell(const std::vector<std::string>& line, std::size_t column) {
    return column < line.size() ? std::string_view(line[column]) : std::string_view();
}

bool is_number(std::string_view text) {
    const bool begins = !text.empty() && (text.find_first_of("0123456789") <= 1 || text.starts_with("±") ||
                                          text.starts_with("−"));
    return begins && text.find_first_not_of("0123456789.,/ ±−+") == std::string_view::npos;
}

// The cell spans the empty cells after it, e.g. a part's name among numbers.
bool spans(const std::vector<std::string>& line, std::size_t column, std::size_t columns) {
    if (cell(line, column).empty() || column + 1 >= columns || is_number(cell(line, column))) return false;
    for (std::size_t j = column + 1; j < columns; ++j)
        if (!cell(line, j).empty()) return false;
    return true;
}

class Layer {
public:
    Layer(const Ink& ink, const PaperTable& table, double width, const Fit& fit)
        : ink_(ink), table_(table), fit_(fit) {
        columns_ = table.head.size();
        for (const auto& line : table.lines) columns_ = std::max(columns_, line.size());
        if (table.boxes) left_ = box_side + 2.5;
        number_x_ = left_;
        if (table.numbered)
            number_w_ = ink.width(std::to_string(table.lines.size()), {fit.size, true}),
            left_ += number_w_ + 0.6 * fit.size;
        blank_ = table.blank_column ? blank_width : 0;
        measure(width - left_ - blank_ - (table.blank_column ? 2 : 0));
        blank_x_ = width - blank_;
    }

    TableLayout lay() const {
        TableLayout laid{table_.title, head(), {}};
        int number = 0;
        for (const auto& line : table_.lines) {
            laid.rows.push_back(row(line));
            RowLayout& last = laid.rows.back();
            if (table_.numbered && last.kind == RowLayout::Kind::line)
                last.cells.insert(
                    last.cells.begin(),
                    {number_x_, number_w_, {std::to_string(++number)}, Type{fit_.size, true}, true});
        }
        return laid;
    }

private:
    Type type_of(std::size_t column) const { return {fit_.size, column == 1}; }
    double gap() const { return 0.45 * fit_.size; }
    double end_of(std::size_t column) const { return x_[column] + w_[column]; }

    // Each column as wide as its widest cell; what is too much is taken from the widest text, what is left
    // goes to the first.
    void measure(double room) {
        w_.assign(columns_, 0);
        number_.assign(columns_, true);
        for (std::size_t j = 0; j < columns_; ++j) {
            w_[j] = ink_.width(cell(table_.head, j), {small_size(fit_), false});
            if (j == 0 && !table_.title.empty()) w_[j] = 0;  // the title takes the room it needs
            for (const auto& line : table_.lines) {
                if (spans(line, j, columns_)) continue;
                w_[j] = std::max(w_[j], ink_.width(cell(line, j), type_of(j)) + 0.01);
                number_[j] = number_[j] && (cell(line, j).empty() || is_number(cell(line, j)));
            }
            number_[j] = number_[j] && j > 0;
        }
        const double gaps = gap() * static_cast<double>(columns_ > 0 ? columns_ - 1 : 0);
        for (int round = 0; round < 8; ++round) {
            const double over = std::accumulate(w_.begin(), w_.end(), gaps) - room;
            if (over <= 0) break;
            const auto widest = std::max_element(w_.begin(), w_.end());
            // Two wide columns share the reduction.
            const double next = next_widest(widest);
            *widest = std::max({least_text, *widest - over, std::min(next, *widest - over / 2)});
        }
        share(room - std::accumulate(w_.begin(), w_.end(), gaps));
        x_.assign(columns_, left_);
        for (std::size_t j = 1; j < columns_; ++j) x_[j] = end_of(j - 1) + gap();
    }

    // What is left goes to names that stand among numbers, so that they need not break, then to the first
    // column; to all alike where there are no numbers to keep together.
    void share(double left) {
        if (columns_ == 0 || left <= 0) return;
        const bool numbers = std::find(number_.begin(), number_.end(), true) != number_.end();
        if (!numbers) {
            for (double& w : w_) w += left / static_cast<double>(columns_);
            return;
        }
        double wanted = 0;
        for (const auto& line : table_.lines)
            for (std::size_t j = 1; j < columns_; ++j)
                if (spans(line, j, columns_)) {
                    const double has =
                        std::accumulate(w_.begin() + static_cast<std::ptrdiff_t>(j), w_.end(), 0.0) +
                        gap() * static_cast<double>(columns_ - 1 - j);
                    wanted = std::max(wanted, ink_.width(line[j], type_of(j)) + 0.01 - has);
                }
        const double given = std::clamp(wanted, 0.0, left);
        w_.back() += given;
        w_[0] += left - given;
    }

    double next_widest(std::vector<double>::const_iterator widest) const {
        double next = 0;
        for (auto it = w_.begin(); it != w_.end(); ++it)
            if (it != widest) next = std::max(next, *it);
        return next;
    }

    RowLayout head() const {
        RowLayout row{.kind = RowLayout::Kind::title};
        double first = blank_ > 0 ? blank_x_ : left_ + std::accumulate(w_.begin(), w_.end(), 0.0);
        const Type small{small_size(fit_), false};
        for (std::size_t j = 1; j < columns_; ++j) {
            if (cell(table_.head, j).empty()) continue;
            first = std::min(first, x_[j] + (number_[j] ? w_[j] - ink_.width(table_.head[j], small) : 0));
            row.cells.push_back({x_[j], w_[j], {table_.head[j]}, small, number_[j]});
        }
        const Type type{fit_.size * 1.1, true};
        const double room = std::max(least_text, first - gap());
        row.cells.push_back({0, room, ink_.wrapped(table_.title, type, room), type, false});
        if (blank_ > 0) row.cells.push_back({blank_x_, blank_, {"today"}, small, false});
        row.h = height(row, 1.35 * type.size);
        return row;
    }

    RowLayout row(const std::vector<std::string>& line) const {
        RowLayout row;
        row.box = table_.boxes;
        if (spans(line, 0, columns_)) {
            row.kind = RowLayout::Kind::note;
            const Type small{small_size(fit_), false};
            const double room = end_of(columns_ - 1) - left_;
            row.cells.push_back({left_, room, ink_.wrapped(line[0], small, room), small, false});
            row.box = false;
            row.h = height(row, 1.6 * small.size);
            return row;
        }
        for (std::size_t j = 0; j < columns_; ++j) {
            if (cell(line, j).empty()) continue;
            const bool wide = spans(line, j, columns_);
            const double w = wide ? end_of(columns_ - 1) - x_[j] : w_[j];
            row.cells.push_back(
                {x_[j], w, ink_.wrapped(line[j], type_of(j), w), type_of(j), number_[j] && !wide});
            if (wide) break;
        }
        if (blank_ > 0) row.blank_x = blank_x_, row.blank_w = blank_;
        row.h = height(row, fit_.pitch * fit_.size);
        return row;
    }

    // One line's height and what wrapped lines add.
    static double height(const RowLayout& row, double one) {
        double most = 0;
        for (const CellLayout& c : row.cells)
            most = std::max(most, static_cast<double>(c.lines.size() - 1) * wrapped_pitch * c.type.size);
        return one + most;
    }

    const Ink& ink_;
    const PaperTable& table_;
    const Fit& fit_;
    std::size_t columns_ = 0;
    double left_ = 0, blank_ = 0, blank_x_ = 0, number_x_ = 0, number_w_ = 0;
    std::vector<double> x_, w_;
    std::vector<bool> number_;
};

// Rows run down a column of the page and on into the next. `turn`: the table that begins the second column,
// 0: where the first is full.
Placed run(const std::vector<TableLayout>& tables, int columns, double width, double height,
           std::size_t turn) {
    Placed placed;
    placed.column_width = width;
    int column = 0;
    double y = 0;
    const auto next_column = [&] { return ++column, y = 0, column < columns; };
    const auto put = [&](const RowLayout& row) {
        placed.rows.push_back({row, column * (width + gutter), y});
        placed.broken += std::any_of(row.cells.begin(), row.cells.end(),
                                     [](const CellLayout& c) { return c.lines.size() > 1; });
        y += row.h;
        placed.height = std::max(placed.height, y);
    };
    const auto no_room = [&](const TableLayout& table) {
        placed.all = false;
        placed.too_long = table.title;
        return placed;
    };
    for (std::size_t t = 0; t < tables.size(); ++t) {
        const TableLayout& table = tables[t];
        if (turn > 0 && t == turn && !next_column()) return no_room(table);
        if (y > 0) y += between_tables;
        // Avoid a lone head at the foot of a column: two rows go with it, or all of a short table.
        double begin = table.head.h;
        for (std::size_t i = 0; i < std::min<std::size_t>(2, table.rows.size()); ++i)
            begin += table.rows[i].h;
        if (y + begin > height && (turn > 0 || !next_column() || begin > height)) return no_room(table);
        put(table.head);
        for (const RowLayout& row : table.rows) {
            if (y + row.h > height) {
                if (turn > 0 || !next_column() || table.head.h + row.h > height) return no_room(table);
                put(table.head);
            }
            put(row);
        }
    }
    return placed;
}

Placed in_columns(const Ink& ink, const std::vector<PaperTable>& tables, int columns, double width,
                  double height, const Fit& fit) {
    const double column = (width - (columns - 1) * gutter) / columns;
    std::vector<TableLayout> laid;
    double total = 0, longest = 0;
    for (const PaperTable& table : tables) {
        laid.push_back(lay_table(ink, table, column, fit));
        total += laid.back().head.h;
        for (const RowLayout& row : laid.back().rows) {
            total += row.h;
            longest = std::max(longest, row.h);
        }
    }
    Placed best = run(laid, columns, column, height, 0);
    if (columns == 1) return best;
    // Whole tables, the two sides as even as can be.
    std::optional<Placed> whole;
    for (std::size_t turn = 1; turn < laid.size(); ++turn) {
        Placed tried = run(laid, columns, column, height, turn);
        if (tried.all && (!whole || tried.height < whole->height)) whole = std::move(tried);
    }
    // Split one table so that each side holds half of the total.
    for (double h = total / 2; best.all && h < best.height; h += std::max(1.0, longest / 2)) {
        Placed tried = run(laid, columns, column, h, 0);
        if (tried.all) best = std::move(tried);
    }
    const double worth = 3 * fit.size * fit.pitch;  // cutting a table is worth three rows
    if (whole && (!best.all || whole->height <= best.height + worth)) return *whole;
    return best;
}

}  // namespace

double small_size(const Fit& fit) {
    return std::max(3.0, 0.8 * fit.size);
}

TableLayout lay_table(const Ink& ink, const PaperTable& table, double width, const Fit& fit) {
    return Layer(ink, table, width, fit).lay();
}

Placed place_tables(const Ink& ink, const std::vector<PaperTable>& tables, double width, double height,
                    const Fit& fit) {
    const bool boxes = std::any_of(tables.begin(), tables.end(), [](const PaperTable& t) { return t.boxes; });
    // Things to do read best one below the other over the full width.
    if (boxes || tables.size() < 2) {
        Placed one = in_columns(ink, tables, 1, width, height, fit);
        if (one.all) return one;
    }
    return in_columns(ink, tables, 2, width, height, fit);
}

}  // namespace restand::paper
