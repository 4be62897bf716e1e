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
    return swap ? fmt::format("{} swap of {}", words::parts(swap->parts),
                              words::day(swap->started.ms, desk.utc_offset_min))
                : "an earlier swap";
}

}  // namespace

row::Card take_card(const Desk& desk, End end, const Take& t) {
    std::string title = words::label(t.reading.point) + "  " + words::reading(t.reading);
    if (const std::string pm = plus_minus(t.reading); !pm.empty()) title += " " + pm;
    row::Card card{.id = fmt::format("value:{}:{}", words::end(end), facts(t.reading.point).key),
                   .title = std::move(title),
                   .line1 = who_and_when(desk, t.by, t.at.ms),
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
    // A part leads to everything that was done with it.
    if (is_text(t.reading.point)) {
        card.tap = act::FindPart{t.reading.repeats.back().text};
        card.line2 += " · tap: all of the season with it";
    }
    return card;
}

namespace {
// Shown on the whole bike; everything else of a baseline is in its list.
constexpr Point shown_rear[] = {Point::ride_height_rider, Point::eye_to_eye, Point::chain_slack};
constexpr Point shown_front[] = {Point::ride_height_rider, Point::fork_position};
}  // namespace

namespace {
// The height at which an end is drawn: with the rider on, else topped out.
std::optional<Length> drawn_height(const SetUp& setup, End end) {
    for (const Point p : {Point::ride_height_rider, Point::ride_height_topped_out})
        if (const auto h = setup.length(end, p)) return h;
    return std::nullopt;
}
}  // namespace

std::map<Point, double> numbers_of(const SetUp& setup, End end) {
    std::map<Point, double> known;
    for (const auto& [place, take] : setup.values)
        if (place.first == end && !is_text(place.second))
            known[place.second] = measured(take.reading).value;
    return known;
}

void draw_setup(const Bike& bike, const SetUp& setup, SheetView& sheet, const SetUp* was) {
    std::vector<Tag> tags;
    bool to_scale = false;
    for (End end : {End::rear, End::front}) {
        PictureInput in = picture_of(bike.body, end, Scene::whole, numbers_of(setup, end));
        if (was) {
            in.height = drawn_height(setup, end);
            in.ghost = drawn_height(*was, end);
        }
        const BikePicture pic = picture(in);
        if (end == End::rear) sheet.drawing = drawing_of(pic), to_scale = pic.to_scale;
        for (Point p : end == End::rear ? std::span<const Point>(shown_rear) : shown_front) {
            const Take* take = setup.take(end, p);
            const auto anchor = pic.anchors.find(p);
            if (!take || anchor == pic.anchors.end()) continue;
            Tag tag = tag_at(fmt::format("tag:{}:{}", words::end(end), facts(p).key), words::label(p), anchor->second);
            put_value(tag, take->reading);
            if (const Take* before = was ? was->take(end, p) : nullptr;
                before && words::reading(before->reading) != words::reading(take->reading))
                tag.note = "was " + words::reading(before->reading);
            tags.push_back(std::move(tag));
        }
    }
    sheet.drawing.tags = std::move(tags);
    sheet.drawing.caption = to_scale ? "to scale" : "schematic where not measured";
}

void draw_baseline(const Desk& desk, const Bike& bike, const Baseline& baseline, SheetView& sheet) {
    draw_setup(bike, setup_of(baseline), sheet);
    for (Tag& tag : sheet.drawing.tags) tag.ink = Ink::baseline;
    sheet.drawing.caption = fmt::format("baseline of {} · {}", words::day(baseline.clock.ms, desk.utc_offset_min),
                                        sheet.drawing.caption);
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
            if (!any) sheet.slip.rows.push_back(row::Heading{words::heading(end)});
            any = true;
            sheet.slip.rows.push_back(take_card(desk, v.end, v.take));
        }
    }
    sheet.slip.rows.push_back(row::Button{"sheet", "The sheet for the toolbox", "one page, PDF", act::SheetTo{""}});
    sheet.primary = {"To the bike", act::Go{Screen::bike, bike->id}, ""};
    return sheet;
}

}  // namespace restand
