#pragma once
// A table of the page, sorted by the column that the person chose.

#include <initializer_list>

#include "app/app_state.h"
#include "app/views/page_view.h"

namespace restand {

// Sorts the lines as the person chose, and lets a tap on the name of one of these columns choose.
void sort_lines(const AppState& state, PageTable& table, std::initializer_list<std::size_t> columns);

}  // namespace restand
