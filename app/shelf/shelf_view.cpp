#include "app/shelf/shelf_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "app/pad/next_field.h"
#include "app/season/baselines_view.h"
#include "app/views/point_wording.h"
#include "app/views/sorting.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "app/workshop/bikes_view.h"
#include "core/ledger/shelf.h"

namespace restand {

namespace {
// "95 N/mm · free 160 mm": the main numbers of a part.
std::string main_numbers(const ShelfBody& body) {
    std::string text;
    int shown = 0;
    for (const Point point : shelf_points(body.part))
        if (const Reading* r = value_of(body, point); r && shown < 2) {
            text += fmt::format("{}{} {}", text.empty() ? "" : " · ", wording::short_label(point),
                                wording::reading(*r));
            ++shown;
        }
    return text.empty() ? "nothing measured yet" : text;
}

std::string where(const AppState& state, const ShelfItem& item) {
    const auto on = on_bike(state.ledger, item);
    const Bike* bike = on ? state.ledger.bike(on->bike) : nullptr;
    return bike ? fmt::format("on {} since {}", bike->body.name,
                              wording::day(on->since_ms, state.utc_offset_min))
                : "";
}

PageTable::Line item_line(const AppState& state, const ShelfItem& item) {
    return {
        .id = "item:" + to_text(item.id),
        .cells = {item.body.name, wording::part(item.body.part), main_numbers(item.body), where(state, item)},
        .tap = act::OpenItem{item.id}};
}

// The part on the bench, drawn from its own numbers.
BikePicture picture_of_item(const ShelfBody& body) {
    std::map<Point, double> known;
    for (const Reading& r : body.values)
        if (!is_text(r.point)) known[r.point] = measured(r).value;
    const auto points = shelf_points(body.part);
    const Scene scene = scene_of(group_of(points.front()));
    const BikeBody nobody;
    return picture(picture_of(nobody, end_of(body.part), scene, std::move(known)));
}

row::ReadingRow value_row(const AppState& state, const ShelfBody& body, Point point) {
    const Field field{.of = Field::Of::shelf, .point = point, .end = end_of(body.part)};
    const Reading* r = value_of(body, point);
    row::ReadingRow row;
    row.id = "row:" + field_id(field);
    row.mark = saving(state, field) ? row::Mark::saving : r ? row::Mark::done : row::Mark::none;
    row.label = wording::label(point);
    row.optional = true;
    row.open = state.pad && state.pad->field == field;
    row.tap = act::OpenTag{field};
    if (r) {
        row.value = wording::shown(*r);
        row.unit = is_text(point) ? "" : std::string(symbol(r->repeats.back().unit));
        row.plus_minus = plus_minus(*r);
    }
    return row;
}
}  // namespace

PageView shelf_view(const AppState& state) {
    PageView page = blank_page(state, "Parts shelf");
    PageTable table;
    table.columns = {{"part", false, Ink::ink, true}, {"kind"}, {"measured"}, {"where"}};
    for (const SwapPart part : shelf_parts)
        table.keys.push_back(
            {"add:" + std::string(key(part)), "+ " + wording::part(part), act::AddToShelf{part}});
    const auto items = state.ledger.shelf();
    for (const SwapPart part : shelf_parts)
        for (const ShelfItem* item : items)
            if (item->body.part == part) table.lines.push_back(item_line(state, *item));
    if (items.empty())
        table.lines.push_back(
            {.cells = {"Nothing on the shelf yet. Measure a part once and pick it in every swap: "
                       "its readings are then the new part's."},
             .kind = PageTable::Line::Kind::note});
    else
        table.foot = "A part with + is put on the shelf, to be measured once.";
    sort_lines(state, table, {0, 1, 3});
    page.table = std::move(table);
    page.primary = {"To the bikes", act::Go{Screen::bikes, {}}, ""};
    return page;
}

PageView item_view(const AppState& state) {
    const ShelfItem* item = shown_item(state);
    if (!item) return shelf_view(state);
    const ShelfBody& body = item->body;
    PageView page = blank_page(state, "Parts shelf · " + wording::part(body.part));
    page.panel.title = body.name;
    const BikePicture pic = picture_of_item(body);
    page.drawing = drawing_of(pic);
    page.drawing.caption = pic.to_scale ? "to scale" : "schematic where not measured";
    auto& rows = page.panel.rows;
    if (const std::string on = where(state, *item); !on.empty())
        rows.push_back(row::Note{on, Ink::baseline, true});
    rows.push_back(row::Button{
        "name", body.name, "tap to call it something else",
        act::OpenTag{{.of = Field::Of::shelf, .point = Point::part_name, .end = end_of(body.part)}}});
    for (const Point point : shelf_points(body.part)) {
        rows.push_back(value_row(state, body, point));
        if (const auto anchor = pic.anchors.find(point); anchor != pic.anchors.end()) {
            Tag tag =
                tag_at("tag:shelf:" + std::string(facts(point).key), wording::label(point), anchor->second);
            tag.tap = act::OpenTag{{.of = Field::Of::shelf, .point = point, .end = end_of(body.part)}};
            if (const Reading* r = value_of(body, point)) put_value(tag, *r);
            page.drawing.tags.push_back(std::move(tag));
        }
    }
    rows.push_back(
        row::Button{"gone", "Take it off the shelf", "sold, worn out, lost", act::ItemGone{item->id}});
    const auto next = state.pad ? next_field(state, state.pad->field) : next_of_item(state, std::nullopt);
    if (!state.pad && next)
        page.primary = {"Measure: " + wording::label(next->point), act::OpenTag{*next}, ""};
    else if (state.pad)
        page.primary = {next ? "Next: " + wording::label(next->point) : "Keep it", act::PadNext{}, ""};
    else
        page.primary = {"To the shelf", act::Go{Screen::shelf, {}}, ""};
    return page;
}

void shelf_rows(const AppState& state, const Swap& swap, std::vector<Row>& rows) {
    bool first = true;
    for (const SwapPart part : swap.parts)
        for (const ShelfItem* item : shelf_for(state.ledger, part)) {
            if (std::exchange(first, false)) rows.push_back(row::Heading{"From the shelf"});
            const std::string on = where(state, *item);
            const bool is = std::any_of(swap.picks.begin(), swap.picks.end(),
                                        [&](const Swap::Pick& p) { return p.item == item->id; });
            rows.push_back(row::Button{"pick:" + to_text(item->id), item->body.name,
                                       on.empty() ? main_numbers(item->body) : on, act::PickItem{item->id},
                                       true, is});
        }
}

namespace {
struct SpringSheet {
    const AppState& state;
    std::vector<Row>& rows;
    const UnitChoice units = state.ledger.units();

    std::string len(Length v) const { return wording::value(v, units); }
    std::string with_unit(Length v) const { return wording::length(v, units); }

    void step(const char* id, const char* label, WishOf of, Length value) {
        rows.push_back(row::Stepper{.id = id,
                                    .label = label,
                                    .value = len(value),
                                    .unit = std::string(symbol(units.length)),
                                    .less = "−1 mm",
                                    .more = "+1 mm",
                                    .tap_less = act::Wish{of, -1},
                                    .tap_more = act::Wish{of, 1},
                                    .tap_value = act::DismissNotice{},
                                    .saving = false});
    }
    void band_rows(const SpringWish& w) {
        rows.push_back(row::Heading{"Where it is to lie"});
        step("wish:free_low", "free sag from", WishOf::free_low, w.free_sag.low);
        step("wish:free_high", "free sag to", WishOf::free_high, w.free_sag.high);
        step("wish:preload_low", "preload from", WishOf::preload_low, w.preload.low);
        step("wish:preload_high", "preload to", WishOf::preload_high, w.preload.high);
    }
    // Which wishes the spring misses, in one line.
    std::string misses(const SpringOption& o, const SpringWish& w) const {
        const auto out = [&](const char* what, Length v, const Band& band) {
            const Length by = band.beyond(v);
            if (by == mm(0)) return std::string();
            return fmt::format("{} {} {}", what, with_unit(abs(by)),
                               by.value > 0 ? "too much" : "too little");
        };
        if (o.preload < mm(0)) return "too stiff: loose when topped out";
        if (!o.wheel_rate) return "does not stand under the rider";
        std::string text = out("preload", o.preload, w.preload);
        if (o.free_sag)
            if (const std::string free = out("free sag", *o.free_sag, w.free_sag); !free.empty())
                text += (text.empty() ? "" : " · ") + free;
        if (!o.clears()) text += (text.empty() ? "" : " · ") + std::string("coils touch before full travel");
        return text;
    }
    void option_card(const ShelfItem& item, const SpringOption& o, const SpringWish& w) {
        const bool fits = o.fits(w);
        std::string gives =
            fmt::format("set to {} · preload {}", with_unit(o.installed_length), len(o.preload));
        gives += o.free_sag ? " · free sag " + len(*o.free_sag) : " · free sag not known";
        const std::string on = where(state, item);
        rows.push_back(row::Card{.id = "spring:" + to_text(item.id),
                                 .title = item.body.name,
                                 .line1 = gives,
                                 .line2 = fits ? on : misses(o, w) + (on.empty() ? "" : " · " + on),
                                 .badge = fits ? "fits" : "",
                                 .tap = act::OpenItem{item.id}});
    }
};
}  // namespace

PageView which_spring_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return bikes_view(state);
    const End end = state.season.end;
    PageView page = blank_page(state, bike->body.name + " · which spring");
    draw_setup(*bike, setup_now(state.ledger, bike->id), page);
    auto& rows = page.panel.rows;
    page.panel.title = end == End::rear ? "Which rear spring?" : "Which fork springs?";
    rows.push_back(
        row::Choice{"end",
                    "",
                    {"rear", "front"},
                    {act::ShowSprings{bike->id, End::rear}, act::ShowSprings{bike->id, End::front}},
                    end == End::rear ? 0u : 1u});
    SpringSheet part{state, rows};
    const SpringWish wish = wish_of(state);
    part.step("wish:sag", "rider sag", WishOf::rider_sag, wish.rider_sag);
    std::vector<const ShelfItem*> items;
    std::vector<Spring> springs;
    const SwapPart kind = end == End::rear ? SwapPart::shock_spring : SwapPart::fork_springs;
    for (const ShelfItem* item : shelf_for(state.ledger, kind)) {
        const Reading *rate = value_of(item->body, Point::spring_rate),
                      *free = value_of(item->body, Point::spring_free_length);
        if (!rate || !free) continue;
        Spring spring{newton_per_mm(measured(*rate).value), mm(measured(*free).value), {}};
        if (const Reading* block = value_of(item->body, Point::spring_block_length))
            spring.block_length = mm(measured(*block).value);
        springs.push_back(spring);
        items.push_back(item);
    }
    const auto now = end_as_it_is(state, end);
    const auto options =
        now ? spring_options(*now, springs, wish) : Result<std::vector<SpringOption>>(now.error());
    rows.push_back(row::Heading{"From the shelf, the best first"});
    if (!options)
        rows.push_back(row::Note{wording::sentence(options.error()), Ink::stop, true});
    else if (springs.empty())
        rows.push_back(row::Note{"No spring on the shelf has its rate and its free length yet."});
    else
        for (const SpringOption& o : *options) part.option_card(*items[o.index], o, wish);
    part.band_rows(wish);
    rows.push_back(
        row::Note{"Rider sag is held; the collar's place follows. The best has its free sag nearest the "
                  "middle of the band. "
                  "Ranges to begin with: common practice, yours to set.",
                  Ink::ink, false, true});
    rows.push_back(
        row::Note{"A swap brings back the heights as they are now. For this sag set the spring to the length "
                  "above, and keep it as it stands.",
                  Ink::ink, false, true});
    page.panel.cautions.emplace_back("Arithmetic on your readings, not approval to ride.");
    if (springs.empty())
        page.primary = {"To the parts shelf", act::Go{Screen::shelf, {}}, ""};
    else if (const Swap* open = state.ledger.open_swap(bike->id))
        page.primary = {"Resume: " + wording::parts(open->parts), act::ResumeSwap{open->id}, ""};
    else
        page.primary = {end == End::rear ? "Swap the shock spring" : "Swap the fork springs",
                        act::StartSwap{bike->id, {kind}}, ""};
    return page;
}

}  // namespace restand
