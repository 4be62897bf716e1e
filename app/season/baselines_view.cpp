// The baselines of a bike, newest first. One baseline opened: every number, who read it, when, and in which
// swap.

#include <fmt/format.h>

#include "app/views/view.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"

namespace restand {

namespace {
std::string key_numbers(const Baseline& b) {
    std::string s;
    for (const auto& [end, point, name] : {std::tuple{End::rear, Point::ride_height_rider, "rear"},
                                           std::tuple{End::front, Point::ride_height_rider, "front"}})
        if (const BaselineValue* v = b.value(end, point))
            s += fmt::format("{}{} {}", s.empty() ? "rider " : " · ", name,
                             wording::reading(v->stored.reading));
    return s;
}

std::string from_swap(const AppState& state, const StoredReading& stored) {
    if (stored.swap.nil()) return "entered by hand";
    const Swap* swap = state.ledger.swap(stored.swap);
    return swap ? fmt::format("{} swap of {}", wording::parts(swap->parts),
                              wording::day(swap->started.ms, state.utc_offset_min))
                : "an earlier swap";
}

}  // namespace

row::Card reading_card(const AppState& state, End end, const StoredReading& t) {
    std::string title = wording::label(t.reading.point) + "  " + wording::reading(t.reading);
    if (const std::string pm = plus_minus(t.reading); !pm.empty()) title += " " + pm;
    row::Card card{.id = fmt::format("value:{}:{}", wording::end(end), facts(t.reading.point).key),
                   .title = std::move(title),
                   .line1 = who_and_when(state, t.by, t.at.ms),
                   .line2 = from_swap(state, t),
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
    // A part links to the history of everything done with it.
    if (is_text(t.reading.point)) {
        card.tap = act::FindPart{t.reading.repeats.back().text};
        card.line2 += " · tap: all of the season with it";
    }
    return card;
}

namespace {
// Points shown on the whole bike. The list holds the rest of a baseline.
constexpr Point shown_rear[] = {Point::ride_height_rider, Point::eye_to_eye, Point::chain_slack};
constexpr Point shown_front[] = {Point::ride_height_rider, Point::fork_position};
}  // namespace

namespace {
// The height at which an end is drawn: with rider, else topped out.
std::optional<Length> drawn_height(const SetUp& setup, End end) {
    for (const Point p : {Point::ride_height_rider, Point::ride_height_topped_out})
        if (const auto h = setup.length(end, p)) return h;
    return std::nullopt;
}
}  // namespace

std::map<Point, double> numbers_of(const SetUp& setup, End end) {
    std::map<Point, double> known;
    for (const auto& [place, stored] : setup.values)
        if (place.first == end && !is_text(place.second))
            known[place.second] = measured(stored.reading).value;
    return known;
}

void draw_setup(const Bike& bike, const SetUp& setup, PageView& page, const SetUp* was) {
    std::vector<Tag> tags;
    bool to_scale = false;
    for (End end : {End::rear, End::front}) {
        PictureInput in = picture_of(bike.body, end, Scene::whole, numbers_of(setup, end));
        if (was) {
            in.height = drawn_height(setup, end);
            in.ghost = drawn_height(*was, end);
        }
        const BikePicture pic = picture(in);
        if (end == End::rear) page.drawing = drawing_of(pic), to_scale = pic.to_scale;
        for (Point p : end == End::rear ? std::span<const Point>(shown_rear) : shown_front) {
            const StoredReading* stored = setup.stored(end, p);
            const auto anchor = pic.anchors.find(p);
            if (!stored || anchor == pic.anchors.end()) continue;
            Tag tag = tag_at(fmt::format("tag:{}:{}", wording::end(end), facts(p).key), wording::label(p),
                             anchor->second);
            put_value(tag, stored->reading);
            if (const StoredReading* before = was ? was->stored(end, p) : nullptr;
                before && wording::reading(before->reading) != wording::reading(stored->reading))
                tag.note = "was " + wording::reading(before->reading);
            tags.push_back(std::move(tag));
        }
    }
    page.drawing.tags = std::move(tags);
    page.drawing.caption = to_scale ? "to scale" : "schematic where not measured";
}

void draw_baseline(const AppState& state, const Bike& bike, const Baseline& baseline, PageView& page) {
    draw_setup(bike, setup_of(baseline), page);
    for (Tag& tag : page.drawing.tags) tag.ink = Ink::baseline;
    page.drawing.caption = fmt::format(
        "baseline of {} · {}", wording::day(baseline.clock.ms, state.utc_offset_min), page.drawing.caption);
    page.drawing.caption_ink = Ink::baseline;
}

PageView baselines_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return bikes_view(state);
    PageView page = blank_page(state, bike->body.name + " · baselines");
    const auto all = state.ledger.baselines(bike->id);
    page.panel.title = "Newest first";
    if (all.empty())
        page.panel.rows.push_back(row::Note{"No baseline yet. The first swap that is kept makes one."});
    else
        draw_baseline(state, *bike, *all.front(), page);
    for (const Baseline* b : all)
        page.panel.rows.push_back(row::Card{.id = "baseline:" + to_text(b->id),
                                            .title = wording::day(b->clock.ms, state.utc_offset_min),
                                            .line1 = b->body.reason,
                                            .line2 = key_numbers(*b),
                                            .badge = {},
                                            .tap = act::Go{Screen::baseline, b->id}});
    if (all.empty()) {
        page.drawing = drawing_of(picture(picture_of(bike->body, End::rear, Scene::whole, {})));
        page.primary = {"To the bike", act::Back{}, ""};
    } else
        page.primary = {"Open the newest", act::Go{Screen::baseline, all.front()->id}, ""};
    return page;
}

PageView baseline_view(const AppState& state) {
    const Baseline* b = state.ledger.baseline(state.baseline);
    const Bike* bike = b ? state.ledger.bike(b->bike) : nullptr;
    if (!bike) return bikes_view(state);
    PageView page = blank_page(
        state, fmt::format("{} · {}", bike->body.name, wording::day(b->clock.ms, state.utc_offset_min)));
    draw_baseline(state, *bike, *b, page);
    page.panel.title = b->body.reason;
    page.panel.rows.push_back(row::Note{"kept by " + who_and_when(state, b->by, b->clock.ms), Ink::baseline});
    for (End end : {End::rear, End::front}) {
        bool any = false;
        for (const BaselineValue& v : b->body.values) {
            if (v.end != end) continue;
            if (!any) page.panel.rows.push_back(row::Heading{wording::heading(end)});
            any = true;
            page.panel.rows.push_back(reading_card(state, v.end, v.stored));
        }
    }
    page.panel.rows.push_back(
        row::Button{"sheet", "The sheet for the toolbox", "one page, PDF", act::SheetTo{""}});
    page.primary = {"To the bike", act::Go{Screen::bike, bike->id}, ""};
    return page;
}

}  // namespace restand
