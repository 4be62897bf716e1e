#include "app/views/sorting.h"

#include <algorithm>
#include <charconv>

#include "app/views/view_parts.h"

namespace restand {

namespace {

// A number at its beginning, else none.
std::optional<double> number_of(const std::string& cell) {
    double value = 0;
    const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
    return error == std::errc() && end != cell.data() ? std::optional(value) : std::nullopt;
}

char small(char letter) {
    return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
}

bool goes_before(const std::string& a, const std::string& b) {
    const auto x = number_of(a), y = number_of(b);
    if (x && y && *x != *y) return *x < *y;
    if (x.has_value() != y.has_value()) return x.has_value();
    return std::lexicographical_compare(a.begin(), a.end(), b.begin(), b.end(),
                                        [](char p, char q) { return small(p) < small(q); });
}

}  // namespace

void sort_lines(const AppState& state, PageTable& table, std::initializer_list<std::size_t> columns) {
    for (const std::size_t i : columns)
        if (i < table.columns.size()) table.columns[i].sort = act::SortBy{i};
    const auto& by = state.sorting;
    if (!by || by->screen != state.screen || by->column >= table.columns.size() ||
        !table.columns[by->column].sort)
        return;
    using Sorted = PageTable::Column::Sorted;
    table.columns[by->column].sorted = by->falling ? Sorted::falling : Sorted::rising;
    const auto cell = [&](const PageTable::Line& line) {
        return by->column < line.cells.size() ? line.cells[by->column] : std::string();
    };
    // What is empty stands last either way.
    std::stable_sort(table.lines.begin(), table.lines.end(),
                     [&](const PageTable::Line& a, const PageTable::Line& b) {
                         const std::string x = cell(a), y = cell(b);
                         if (x.empty() || y.empty()) return !x.empty() && y.empty();
                         return by->falling ? goes_before(y, x) : goes_before(x, y);
                     });
}

}  // namespace restand
