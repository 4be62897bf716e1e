// One bike: how it stands now by its newest baseline, and what can be done with it.

#include <fmt/format.h>

#include "app/views/view.h"
#include "app/views/view_parts.h"
#include "app/views/words.h"

namespace restand {

namespace {
constexpr Point shown_rear[] = {Point::ride_height_rider, Point::eye_to_eye, Point::chain_slack};
constexpr Point shown_front[] = {Point::ride_height_rider, Point::fork_position};

void tags_of(const Baseline& last, End end, std::span<const Point> points, const BikePicture& pic, Drawing& drawing) {
    for (Point point : points) {
        const BaselineValue* v = last.value(end, point);
        const auto anchor = pic.anchors.find(point);
        if (!v || anchor == pic.anchors.end()) continue;
        Tag tag;
        tag.id = fmt::format("tag:{}:{}", end == End::rear ? "rear" : "front", facts(point).key);
        tag.label = words::label(point);
        const Typed& typed = v->take.reading.repeats.back();
        tag.value = words::value(measured(v->take.reading).value, typed.unit);
        tag.unit = std::string(symbol(typed.unit));
        tag.ink = Ink::baseline;
        tag.a = anchor->second.a;
        tag.b = anchor->second.b;
        tag.offset = anchor->second.offset;
        drawing.tags.push_back(std::move(tag));
    }
}

void draw(const Desk& desk, const Bike& bike, SheetView& sheet) {
    const BikePicture rear = picture(picture_of(bike.body, End::rear, Scene::whole, known_values(desk, bike.id, End::rear, nullptr)));
    sheet.drawing = drawing_of(rear);
    const Baseline* last = desk.ledger.newest_baseline(bike.id);
    if (!last) {
        sheet.drawing.caption = "schematic: nothing measured yet";
        return;
    }
    const BikePicture front = picture(picture_of(bike.body, End::front, Scene::whole, known_values(desk, bike.id, End::front, nullptr)));
    tags_of(*last, End::rear, shown_rear, rear, sheet.drawing);
    tags_of(*last, End::front, shown_front, front, sheet.drawing);
    sheet.drawing.caption = fmt::format("baseline of {} · {}", words::day(last->clock.ms, desk.utc_offset_min),
                                        rear.to_scale ? "to scale" : "schematic where not measured");
    sheet.drawing.caption_ink = Ink::baseline;
}
}  // namespace

SheetView bike_view(const Desk& desk) {
    const Bike* bike = desk.ledger.bike(desk.bike);
    if (!bike) return bikes_view(desk);
    SheetView sheet = blank_sheet(desk, bike->body.name);
    draw(desk, *bike, sheet);
    auto& rows = sheet.slip.rows;
    sheet.slip.title = bike->body.name;
    if (!bike->body.note.empty()) rows.push_back(row::Note{bike->body.note});
    if (bike->body.archived) {
        rows.push_back(row::Note{"Archived. Nothing is lost."});
        sheet.primary = {"Bring it back", act::ArchiveBike{bike->id, false}, ""};
        rows.push_back(row::Button{"baselines", "Baselines", "", act::Go{Screen::baselines, bike->id}});
        return sheet;
    }
    if (!bike->rivals.empty())
        rows.push_back(row::Note{"Two devices described this bike differently. Edit it and save to settle it.", Ink::stop, true});
    const Swap* open = desk.ledger.open_swap(bike->id);
    if (open) {
        sheet.primary = {fmt::format("Resume: {} swap, {}", words::kind(open->kind), words::step(open->step)),
                         act::ResumeSwap{open->id}, ""};
        rows.push_back(row::Note{fmt::format("A {} swap is open since {}.", words::kind(open->kind),
                                             words::day(open->started_ms, desk.utc_offset_min))});
    } else {
        rows.push_back(row::Heading{"Swap"});
        for (SwapKind kind : {SwapKind::shock_spring, SwapKind::fork_springs, SwapKind::fork})
            rows.push_back(row::Button{fmt::format("swap:{}", key(kind)), "The " + words::kind(kind), "",
                                       act::StartSwap{bike->id, kind}});
        sheet.primary = {"Swap the shock", act::StartSwap{bike->id, SwapKind::shock}, ""};
    }
    rows.push_back(row::Heading{"The bike"});
    const Baseline* last = desk.ledger.newest_baseline(bike->id);
    rows.push_back(row::Button{"baselines", "Baselines",
                               last ? "last " + words::day(last->clock.ms, desk.utc_offset_min) : "none yet",
                               act::Go{Screen::baselines, bike->id}});
    rows.push_back(row::Button{"edit", "Its numbers", "leverage, geometry", act::EditBike{bike->id}});
    if (open) rows.push_back(row::Button{"abandon", "Set this swap aside", "readings are kept", act::AbandonSwap{open->id}});
    rows.push_back(row::Button{"archive", "Archive", "can be brought back", act::ArchiveBike{bike->id, true}});
    return sheet;
}

}  // namespace restand
