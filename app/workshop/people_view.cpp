#include "app/workshop/people_view.h"

#include "app/views/view_parts.h"

namespace restand {

PageView people_view(const AppState& state) {
    PageView page = blank_page(state, "Who is working?");
    page.panel.title = "Every reading bears a name";
    const auto people = state.ledger.people();
    for (const Person* p : people)
        page.panel.rows.push_back(row::Button{"person:" + to_text(p->id), p->name, "", act::SetPerson{p->id},
                                              true, p->id == state.who});
    if (people.empty())
        page.panel.rows.push_back(row::Note{"Nobody is named yet. One name is enough to begin."});
    if (state.pad)
        page.primary = {"That is me", act::PadNext{}, ""};
    else
        page.primary = {"Add a name", act::OpenTag{{.of = Field::Of::person}}, ""};
    return page;
}

}  // namespace restand
