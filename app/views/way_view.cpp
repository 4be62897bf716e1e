// The way back: what is to be done, in order, ticked off as it is done.

#include <fmt/format.h>

#include <algorithm>

#include "app/views/view.h"
#include "app/views/view_parts.h"
#include "app/views/words.h"

namespace restand {

namespace {
std::string detail_of(const WayAction& a, const UnitChoice& units) {
    std::string text;
    if (a.from && a.doing != Doing::measure) text = "now " + words::reading(a.from->reading);
    if (a.solved) text += fmt::format("{}computed: another part is fitted than then", text.empty() ? "" : " · ");
    (void)units;
    return text;
}

void done_rows(const Desk& desk, const Way& way, std::vector<Row>& rows) {
    if (way.ticks.empty()) return;
    rows.push_back(row::Heading{"Done"});
    for (const Tick& tick : way.ticks) {
        std::string label;
        for (const SetValue& v : tick.values)
            label += fmt::format("{}{}: {} {}", label.empty() ? "" : " · ", words::end(v.end),
                                 words::label(v.reading.point), words::reading(v.reading));
        rows.push_back(row::Tick{.id = "done:" + tick.action, .label = label.empty() ? tick.action : label,
                                 .detail = who_and_when(desk, tick.by, tick.at_ms), .done = true, .next = false, .tap = {}});
    }
}

bool measured_already(const Way* way, const WayAction& action) {
    return way && std::any_of(way->ticks.begin(), way->ticks.end(),
                              [&](const Tick& t) { return t.action == action.key; });
}

void problem_rows(const Desk& desk, const WayBack& way, std::vector<Row>& rows) {
    if (!way.held)
        rows.push_back(row::Note{"With the parts now fitted it cannot stand quite as then:", Ink::stop, true});
    const UnitChoice units = desk.ledger.units();
    for (const EndLimit& l : way.limits)
        rows.push_back(row::Note{words::limit(l.code, l.end, words::length(l.bound, units), words::length(l.beyond, units)), Ink::stop});
    for (const Error& e : way.unsaid) rows.push_back(row::Note{words::sentence(e), Ink::now, false, true});
    for (const LeftOut& l : way.left_out) rows.push_back(row::Note{words::left_out(l), Ink::ink, false, true});
}
}  // namespace

SheetView way_view(const Desk& desk) {
    const auto shown = way_shown(desk);
    const Bike* bike = shown ? desk.ledger.bike(shown->bike) : desk.ledger.bike(desk.bike);
    if (!bike) return bikes_view(desk);
    if (!shown) {
        SheetView waiting = blank_sheet(desk, bike->body.name + " · way back");
        waiting.slip.title = "Looking it up";
        waiting.primary = {"To the bike", act::Go{Screen::bike, bike->id}, ""};
        return waiting;
    }
    const Fact* target = desk.ledger.fact(shown->target);
    const std::string then = words::day(target->entry.clock.ms, desk.utc_offset_min);
    SheetView sheet = blank_sheet(desk, fmt::format("{} · back to {}", bike->body.name, then));
    draw_setup(*bike, shown->now, sheet, &shown->then);
    sheet.drawing.caption = "black: now · blue: " + then;
    auto& rows = sheet.slip.rows;
    std::vector<const WayAction*> left;
    for (const WayAction& a : shown->way.actions)
        if (!(a.doing == Doing::measure && measured_already(shown->open, a))) left.push_back(&a);
    sheet.slip.title = left.empty() ? "It stands as then" : fmt::format("{} to do, in this order", left.size());
    problem_rows(desk, shown->way, rows);
    for (const WayAction* a : left)
        rows.push_back(row::Tick{.id = "do:" + a->key, .label = words::action(*a, desk.ledger.units()),
                                 .detail = detail_of(*a, desk.ledger.units()), .done = false,
                                 .next = shown->open && a == left.front(),
                                 .tap = shown->open ? std::optional<Action>(act::TickAction{a->key}) : std::nullopt});
    if (shown->open) done_rows(desk, *shown->open, rows);
    sheet.slip.cautions.emplace_back(
        "Bike secured on stands; spring under load. Fasteners to the maker's manual, re-checked after the first run. "
        "Arithmetic on your readings, not approval to ride.");
    rows.push_back(row::Button{"sheet", "The sheet for the toolbox", "one page, PDF", act::SheetTo{""}});
    if (shown->open)
        rows.push_back(row::Button{"leave", "Leave it here", "what was done stays", act::EndWay{false}});
    if (desk.pad)
        sheet.primary = {"Keep it", act::PadNext{}, ""};
    else if (!shown->open)
        sheet.primary = left.empty() ? Primary{"To the bike", act::Go{Screen::bike, bike->id}, ""}
                                     : Primary{"Begin", act::BeginWay{}, ""};
    else if (left.empty())
        sheet.primary = {"It is back: close the way", act::EndWay{true}, ""};
    else
        sheet.primary = {left.front()->doing == Doing::measure ? "Measure: " + words::label(left.front()->point)
                                                               : "Done, next",
                         act::TickAction{left.front()->key}, ""};
    return sheet;
}

}  // namespace restand
