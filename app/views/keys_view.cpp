#include "app/views/keys_view.h"

#include <initializer_list>
#include <utility>

#include "app/views/view_parts.h"

namespace restand {

namespace {

using Keys = std::initializer_list<std::pair<const char*, const char*>>;

void add(PageTable& table, const char* heading, const Keys& keys) {
    table.lines.push_back({.cells = {heading}, .kind = PageTable::Line::Kind::section});
    for (const auto& [key, does] : keys) table.lines.push_back({.cells = {key, does}});
}

bool has_plot(Screen screen, const AppState& state) {
    const bool tries = screen == Screen::chain || screen == Screen::attitude;
    return screen == Screen::trend ||
           (tries && (state.trial.gears || state.trial.over_travel != TravelPlot::none));
}

}  // namespace

PageView keys_view(const AppState& state) {
    PageView page = blank_page(state, "Keys");
    const Screen of = state.trail.empty() ? Screen::bikes : state.trail.back();
    PageTable table;
    table.columns = {{"key", false, Ink::ink, true}, {"what it does"}};
    table.sections_beside = true;
    if (of == Screen::swap)
        add(table, "In a swap",
            {{"0 to 9", "opens the next field to measure and types there: a gauge needs no tap"},
             {"Enter", "keeps the number and goes on"},
             {"Esc", "closes the field; what was typed can be put back"}});
    if (of == Screen::attitude || of == Screen::chain)
        add(table, "While trying", {{"Esc", "takes the last drag back"}});
    if (has_plot(of, state)) add(table, "On a plot", {{"Left, Right", "read it at another place"}});
    add(table, "On every page",
        {{"Tab, arrows", "to the next thing that can be tapped"},
         {"Enter, Space", "taps it"},
         {"Home, End", "to the first, to the last"},
         {"Esc", "closes the field, else goes back"},
         {"Ctrl+Z", "undo"},
         {"Ctrl+Y, Ctrl+Shift+Z", "put back what was undone"},
         {"Ctrl+P", "a table or a plot on paper"},
         {"F1, ?", "this page"}});
    add(table, "While typing",
        {{"Enter", "the black key"},
         {"Backspace", "erases the last character"},
         {"Esc", "drops what was typed"}});
    page.table = std::move(table);
    page.primary = {"Back", act::Back{}, ""};
    return page;
}

}  // namespace restand
