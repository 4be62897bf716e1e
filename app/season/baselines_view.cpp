#include "app/season/baselines_view.h"

#include <fmt/format.h>

#include <functional>
#include <utility>

#include "app/views/known_from.h"
#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/view_parts.h"
#include "app/views/ways_drawing.h"
#include "app/views/wording.h"
#include "app/workshop/bikes_view.h"
#include "core/ledger/chassis.h"
#include "core/ledger/shelf.h"

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
    if (is_missed(state.ledger, stored)) return "measured at a way back that was not restored";
    if (way_of(state.ledger, stored)) return "on a way back";
    if (stored.swap.nil())
        return state.ledger.fact(stored.entry) ? "entered by hand" : "by hand or on a way back";
    const Swap* swap = state.ledger.swap(stored.swap);
    return swap ? fmt::format("{} swap of {}", wording::parts(swap->parts),
                              wording::day(swap->started.ms, state.utc_offset_min))
                : "an earlier swap";
}

// Who read it, when, with what, and where it comes from.
std::string provenance(const AppState& state, const StoredReading& t) {
    std::string text = wording::label(t.reading.point) + " " + wording::reading(t.reading);
    if (const std::string pm = plus_minus(t.reading); !pm.empty()) text += " " + pm;
    if (t.reading.repeats.size() > 1) {
        std::string all;
        for (const Typed& typed : t.reading.repeats) all += (all.empty() ? "" : ", ") + typed.text;
        text += " · read " + all;
        if (t.reading.settled_anew) text += ", " + wording::settled_anew(t.reading.point) + " each time";
    }
    if (!t.reading.instrument.name.empty()) text += " · " + t.reading.instrument.name;
    if (!t.reading.where.empty()) text += " · " + t.reading.where;
    text += " · " + who_and_when(state, t.by, t.at.ms) + " · " + from_swap(state, t);
    if (t.confirmed) text += " · asked, confirmed";
    return text;
}

PageTable::Line reading_line(const AppState& state, End end, const StoredReading& t) {
    const std::string unit(is_text(t.reading.point) ? "" : symbol(t.reading.repeats.back().unit));
    const std::string pm = plus_minus(t.reading);
    PageTable::Line line;
    line.id = fmt::format("value:{}:{}", wording::end(end), facts(t.reading.point).key);
    line.cells = {wording::short_label(t.reading.point), wording::shown(t.reading),
                  pm.empty() ? unit : unit + " " + pm,
                  wording::short_day(t.at.ms, state.now_ms, state.utc_offset_min)};
    line.tap = act::Tell{provenance(state, t)};
    // A part leads to the history of everything done with it.
    if (is_text(t.reading.point)) {
        line.tap = act::FindPart{t.reading.repeats.back().text};
        if (const Person* by = state.ledger.person(t.by)) line.cells[2] = by->name;
    }
    return line;
}
}  // namespace

PageTable setup_table(const AppState& state, const std::map<Place, StoredReading>& values) {
    PageTable table;
    table.columns = {{""}, {"value", true, Ink::ink, true}, {""}, {"read", false, Ink::quiet}};
    table.sections_beside = true;
    for (const End end : {End::rear, End::front}) {
        bool any = false;
        for (const auto& [place, stored] : values) {
            if (place.first != end) continue;
            if (!std::exchange(any, true))
                table.lines.push_back(
                    {.cells = {wording::heading(end)}, .kind = PageTable::Line::Kind::section});
            table.lines.push_back(reading_line(state, end, stored));
        }
    }
    table.foot = "Tap a number: who read it, when, with what.";
    return table;
}

namespace {
// What is set or stands, in the order of looking at a bike: one value a line, or two that belong together.
struct Listed {
    Point point;
    std::optional<Point> with{};
    const char* both = "";  // name of the two
};
constexpr Listed listed[] = {{Point::ride_height_rider},
                             {Point::ride_height_static},
                             {Point::eye_to_eye},
                             {Point::fork_position},
                             {Point::spring_rate},
                             {Point::spring_installed_length},
                             {Point::spring_preload},
                             {Point::clicks_compression_low, Point::clicks_compression_high, "comp."},
                             {Point::clicks_rebound_low, Point::clicks_rebound_high, "rebound"},
                             {Point::tyre_pressure_cold},
                             {Point::sprocket_front, Point::sprocket_rear, "sprockets"},
                             {Point::chain_links},
                             {Point::axle_position},
                             {Point::chain_slack},
                             {Point::link_rod},
                             {Point::fork_oil_level}};

using Find = std::function<const StoredReading*(Point)>;

std::string listed_text(const Listed& one, const Find& find, const UnitChoice& units) {
    const StoredReading *first = find(one.point), *second = one.with ? find(*one.with) : nullptr;
    if (!first && !second) return "";
    // In the unit chosen for all: two bikes' rates are compared.
    const Unit unit = chosen(units, facts(one.point).dimension);
    std::string text = first ? wording::shown_in(first->reading, unit) : "—";
    if (second) text += " / " + wording::shown(second->reading);
    return text;
}
}  // namespace

PageTable changed_table(const AppState& state, const SetUp& now, const Baseline* baseline) {
    PageTable table;
    const UnitChoice units = state.ledger.units();
    const bool expects = std::any_of(now.values.begin(), now.values.end(),
                                     [](const auto& one) { return is_computed(one.second.reading); });
    table.columns = {
        {expects ? "≈ expected" : "as it stands"},
        {baseline ? wording::short_day(baseline->clock.ms, state.now_ms, state.utc_offset_min) : "", true,
         Ink::baseline},
        {"now", true, Ink::ink, true}};
    table.sections_beside = true;
    for (const End end : {End::rear, End::front}) {
        bool any = false;
        const Find is = [&](Point point) { return now.stored(end, point); };
        const Find was = [&](Point point) {
            const BaselineValue* value = baseline ? baseline->value(end, point) : nullptr;
            return value ? &value->stored : nullptr;
        };
        for (const Listed& one : listed) {
            std::string then = listed_text(one, was, units), text = listed_text(one, is, units);
            if (text.empty() && then.empty()) continue;
            if (text.empty()) text = "—";
            if (!std::exchange(any, true))
                table.lines.push_back(
                    {.cells = {wording::heading(end)}, .kind = PageTable::Line::Kind::section});
            const bool both = one.with && is(*one.with);
            const bool changed = baseline && then != text;
            table.lines.push_back(
                {.cells = {both ? one.both : wording::short_label(one.point), std::move(then),
                           std::move(text)},
                 .kind = changed ? PageTable::Line::Kind::changed : PageTable::Line::Kind::plain});
        }
    }
    return table;
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

std::vector<std::string> coil_warnings(const AppState& state, const SetUp& setup) {
    std::vector<std::string> warnings;
    for (const End end : {End::rear, End::front})
        if (const auto apart = coils_apart(setup, end); apart && *apart < mm(0))
            warnings.push_back(wording::coils_touch(end, *apart, state.ledger.units()));
    return warnings;
}

void coil_warning_rows(const AppState& state, const SetUp& setup, std::vector<Row>& rows) {
    for (std::string& text : coil_warnings(state, setup))
        rows.push_back(row::Note{std::move(text), Ink::stop, true});
}

void draw_setup(const Bike& bike, const SetUp& recorded, PageView& page, const SetUp* was) {
    const SetUp setup = as_it_stands(bike.body, recorded);
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
            const bool expected = is_computed(stored->reading);
            if (expected) tag.note = "expected";
            if (const StoredReading* before = was ? was->stored(end, p) : nullptr;
                before && wording::reading(before->reading) != wording::reading(stored->reading))
                tag.note = (expected ? "expected, was " : "was ") + wording::reading(before->reading);
            tags.push_back(std::move(tag));
        }
    }
    page.drawing.tags = std::move(tags);
    page.drawing.caption = to_scale ? "to scale" : "schematic where not measured";
}

void draw_measured(const AppState& state, const Bike& bike, const SetUp& stands, PageView& page) {
    if (state.pad->asks_which_stand()) {
        page.drawing = both_stands();
        return;
    }
    const Field& field = state.pad->field;
    const Scene scene = scene_of(group_of(field.point));
    PictureInput in = picture_of(bike.body, field.end, scene, numbers_of(stands, field.end));
    const auto expected = expected_of(state, field);
    if (expected && is_ride_height(field.point)) in.height = mm(*expected);
    const BikePicture pic = picture(in);
    page.drawing = drawing_of(pic);
    page.drawing.guide = wording::guide(field.point, field.end, bike.body);
    page.drawing.caption = pic.to_scale ? "to scale" : "schematic where not measured";
    const auto anchor = pic.anchors.find(field.point);
    if (anchor == pic.anchors.end()) return;
    Tag tag = tag_at("tag:" + field_id(field), wording::label(field.point), anchor->second);
    tag.open = true;
    page.drawing.tags.push_back(std::move(tag));
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
    PageTable table;
    table.columns = {{"kept"}, {"why", false, Ink::ink, true}, {"heights"}, {"by"}};
    if (all.empty())
        table.lines.push_back(
            {.cells = {"No baseline yet. A swap that is kept makes one, or the bike read as it stands."},
             .kind = PageTable::Line::Kind::note});
    for (const Baseline* b : all) {
        table.lines.push_back({.id = "baseline:" + to_text(b->id),
                               .cells = {wording::day(b->clock.ms, state.utc_offset_min), b->body.reason,
                                         key_numbers(*b), name_of(state, b->by)},
                               .tap = act::Go{Screen::baseline, b->id}});
    }
    table.foot = wording::how_many(all.size(), "baseline", "baselines") + ", newest first";
    page.table = std::move(table);
    if (all.empty())
        page.primary = {"Read it as it stands", act::StartChange{bike->id}, ""};
    else
        page.primary = {"Open the newest", act::Go{Screen::baseline, all.front()->id}, ""};
    return page;
}

PageView baseline_view(const AppState& state) {
    const Baseline* b = state.ledger.baseline(state.baseline);
    const Bike* bike = b ? state.ledger.bike(b->bike) : nullptr;
    if (!bike) return baselines_view(state);  // it was taken back
    PageView page = blank_page(
        state, fmt::format("{} · {}", bike->body.name, wording::day(b->clock.ms, state.utc_offset_min)));
    std::map<Place, StoredReading> values;
    for (const BaselineValue& v : b->body.values) values[{v.end, v.stored.reading.point}] = v.stored;
    PageTable table = setup_table(state, values);
    table.foot = fmt::format("{} · kept by {} · {}", b->body.reason, who_and_when(state, b->by, b->clock.ms),
                             table.foot);
    table.keys = {{"compare-now", "Compare with now", act::OpenBoth{b->id, {}}},
                  {"way", "Way back to this", act::ShowPlan{bike->id, b->id}}};
    if (const Swap* swap = state.ledger.swap(b->swap)) {
        for (const SwapPart part : swap->parts)
            if (taken_off(state.ledger, *swap, part))
                table.keys.push_back({"shelve:" + std::string(key(part)),
                                      fmt::format("Put the old {} on the shelf", wording::part(part)),
                                      act::ShelveTakenOff{swap->id, part}});
        if (!rechecks_left(state.ledger, *swap).empty())
            table.keys.push_back({"rechecks", "To check after the first run", act::AddRechecks{swap->id}});
    }
    table.more = {{"sheet", "The sheet, PDF", act::SheetTo{""}}};
    std::vector<PageTable::Line> warnings;
    for (std::string& text : coil_warnings(state, setup_of(*b)))
        warnings.push_back({.cells = {std::move(text)}, .kind = PageTable::Line::Kind::changed});
    table.lines.insert(table.lines.begin(), warnings.begin(), warnings.end());
    page.table = std::move(table);
    page.primary = {"To the bike", act::Go{Screen::bike, bike->id}, ""};
    return page;
}

}  // namespace restand
