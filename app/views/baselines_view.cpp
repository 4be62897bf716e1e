// The baselines of a bike, newest first; one of them with every number, who read it, when, and in which swap.

#include <fmt/format.h>

#include "app/views/view.h"
#include "app/views/view_parts.h"
#include "app/views/words.h"

namespace restand {

namespace {
std::string key_numbers(const Baseline& b) {
    std::string s;
    for (const auto& [end, point, name] : {std::tuple{End::rear, Point::ride_height_rider, "rear"},
                                           std::tuple{End::front, Point::ride_height_rider, "front"}})
        if (const BaselineValue* v = b.value(end, point))
            s += fmt::format("{}{} {}", s.empty() ? "rider " : " · ", name, words::reading(v->take.reading));
    return s;
}

std::string from_swap(const Desk& desk, const Take& take) {
    if (take.swap.nil()) return "entered by hand";
    const Swap* swap = desk.ledger.swap(take.swap);
    return swap ? fmt::format("{} swap of {}", words::kind(swap->kind),
                              words::day(swap->started_ms, desk.utc_offset_min))
                : "an earlier swap";
}

row::Card value_card(const Desk& desk, const BaselineValue& v) {
    const Take& t = v.take;
    std::string title = words::label(t.reading.point) + "  " + words::reading(t.reading);
    if (const std::string pm = plus_minus(t.reading); !pm.empty()) title += " " + pm;
    row::Card card{
        .id = fmt::format("value:{}:{}", v.end == End::rear ? "rear" : "front", facts(t.reading.point).key),
        .title = std::move(title),
        .line1 = who_and_when(desk, t.by, t.at_ms),
        .line2 = from_swap(desk, t),
        .badge = {},
        .tap = act::DismissNotice{}};
    if (t.reading.repeats.size() > 1) {
        std::string all;
        for (const Typed& typed : t.reading.repeats) all += (all.empty() ? "" : ", ") + typed.text;
        card.line1 += " · read " + all;
    }
    if (!t.reading.instrument.name.empty()) card.line1 += " · " + t.reading.instrument.name;
    if (!t.reading.where.empty()) card.line2 += " · " + t.reading.where;
    if (t.confirmed) card.line2 += " · asked, confirmed";
    return card;
}

// Shown on the whole bike; everything else of a baseline is in its list.
constexpr Point shown_rear[] = {Point::ride_height_rider, Point::eye_to_eye, Point::chain_slack};
constexpr Point shown_front[] = {Point::ride_height_rider, Point::fork_position};
}  // namespace

void draw_baseline(const Desk& desk, const Bike& bike, const Baseline& baseline, SheetView& sheet) {
    bool to_scale = false;
    std::vector<Tag> tags;
    for (End end : {End::rear, End::front}) {
        std::map<Point, double> known;
        for (const BaselineValue& v : baseline.body.values)
            if (v.end == end && facts(v.take.reading.point).dimension != Dimension::text)
                known[v.take.reading.point] = measured(v.take.reading).value;
        const BikePicture pic = picture(picture_of(bike.body, end, Scene::whole, known));
        if (end == End::rear) sheet.drawing = drawing_of(pic), to_scale = pic.to_scale;
        for (Point p : end == End::rear ? std::span<const Point>(shown_rear) : shown_front) {
            const BaselineValue* v = baseline.value(end, p);
            const auto anchor = pic.anchors.find(p);
            if (!v || anchor == pic.anchors.end()) continue;
            const char* side = end == End::rear ? "rear" : "front";
            Tag tag = tag_at(fmt::format("tag:{}:{}", side, facts(p).key), words::label(p), anchor->second);
            put_value(tag, v->take.reading);
            tag.ink = Ink::baseline;
            tags.push_back(std::move(tag));
        }
    }
    sheet.drawing.tags = std::move(tags);
    sheet.drawing.caption =
        fmt::format("baseline of {} · {}", words::day(baseline.clock.ms, desk.utc_offset_min),
                    to_scale ? "to scale" : "schematic where not measured");
    sheet.drawing.caption_ink = Ink::baseline;
}

SheetView baselines_view(const Desk& desk) {
    const Bike* bike = desk.ledger.bike(desk.bike);
    if (!bike) return bikes_view(desk);
    SheetView sheet = blank_sheet(desk, bike->body.name + " · baselines");
    const auto all = desk.ledger.baselines(bike->id);
    sheet.slip.title = "Newest first";
    if (all.empty())
        sheet.slip.rows.push_back(row::Note{"No baseline yet. The first swap that is kept makes one."});
    else
        draw_baseline(desk, *bike, *all.front(), sheet);
    for (const Baseline* b : all)
        sheet.slip.rows.push_back(row::Card{.id = "baseline:" + to_text(b->id),
                                            .title = words::day(b->clock.ms, desk.utc_offset_min),
                                            .line1 = b->body.reason,
                                            .line2 = key_numbers(*b),
                                            .badge = {},
                                            .tap = act::Go{Screen::baseline, b->id}});
    if (all.empty()) {
        sheet.drawing = drawing_of(picture(picture_of(bike->body, End::rear, Scene::whole, {})));
        sheet.primary = {"To the bike", act::Back{}, ""};
    } else
        sheet.primary = {"Open the newest", act::Go{Screen::baseline, all.front()->id}, ""};
    return sheet;
}

SheetView baseline_view(const Desk& desk) {
    const Baseline* b = desk.ledger.baseline(desk.baseline);
    const Bike* bike = b ? desk.ledger.bike(b->bike) : nullptr;
    if (!bike) return bikes_view(desk);
    SheetView sheet = blank_sheet(
        desk, fmt::format("{} · {}", bike->body.name, words::day(b->clock.ms, desk.utc_offset_min)));
    draw_baseline(desk, *bike, *b, sheet);
    sheet.slip.title = b->body.reason;
    sheet.slip.rows.push_back(row::Note{"kept by " + who_and_when(desk, b->by, b->clock.ms), Ink::baseline});
    for (End end : {End::rear, End::front}) {
        bool any = false;
        for (const BaselineValue& v : b->body.values) {
            if (v.end != end) continue;
            if (!any) sheet.slip.rows.push_back(row::Heading{end == End::rear ? "Rear" : "Front"});
            any = true;
            sheet.slip.rows.push_back(value_card(desk, v));
        }
    }
    sheet.primary = {"To the bike", act::Go{Screen::bike, bike->id}, ""};
    return sheet;
}

}  // namespace restand
