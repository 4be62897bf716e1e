// Who is working: one tap, and every reading from then on bears the name.

#include "app/views/view.h"
#include "app/views/view_parts.h"

namespace restand {

SheetView people_view(const Desk& desk) {
    SheetView sheet = blank_sheet(desk, "Who is working?");
    sheet.slip.title = "Every reading bears a name";
    const auto people = desk.ledger.people();
    for (const Person* p : people)
        sheet.slip.rows.push_back(row::Button{"person:" + to_text(p->id), p->name, "", act::SetPerson{p->id},
                                              true, p->id == desk.who});
    if (people.empty())
        sheet.slip.rows.push_back(row::Note{"Nobody is named yet. One name is enough to begin."});
    const BikeBody nobody;
    const auto bikes = desk.ledger.bikes();
    sheet.drawing = drawing_of(
        picture(picture_of(bikes.empty() ? nobody : bikes.front()->body, End::rear, Scene::whole, {})));
    if (desk.pad)
        sheet.primary = {"That is me", act::PadNext{}, ""};
    else
        sheet.primary = {"Add a name", act::OpenTag{{.of = Field::Of::person}}, ""};
    return sheet;
}

}  // namespace restand
