// The season of one bike: its time line, one moment of it opened, and what happened on a day.

#include <fmt/format.h>

#include <algorithm>

#include "app/views/view.h"
#include "app/views/view_parts.h"
#include "app/views/words.h"
#include "core/exchange/body_json.h"

namespace restand {

namespace {
std::string line_of(const Entry& entry) {
    const auto fact = decode(entry);
    return fact ? words::said(fact->body) : "written by a newer Restand";
}

row::Card moment_card(const Desk& desk, const Entry& e) {
    const auto fact = decode(e);
    const auto* event = fact ? std::get_if<EventBody>(&fact->body) : nullptr;
    const Person* by = desk.ledger.person(e.by);
    row::Card card{.id = "moment:" + to_text(e.id),
                   .title = fmt::format("{} · {}", words::day(e.clock.ms, desk.utc_offset_min), words::moment(e.kind)),
                   .line1 = line_of(e),
                   .line2 = fmt::format("{} {}", words::clock(e.clock.ms, desk.utc_offset_min).substr(0, 5),
                                        by ? by->name : ""),
                   .badge = desk.season.set_aside.contains(e.id) ? "taken back" : "",
                   .tap = act::OpenMoment{e.id}};
    if (event && !event->words.empty()) card.line2 = "'" + event->words + "'";
    return card;
}

constexpr std::pair<const char*, const char*> kinds[] = {{"", "all"},         {"baseline", "baselines"},
                                                         {"change", "changes"}, {"event", "track"},
                                                         {"swap", "swaps"},   {"record", "older"}};

void finding_rows(const Desk& desk, std::vector<Row>& rows) {
    const HistoryQuery& query = desk.season.query;
    row::Choice kind{"kind", "", {}, {}, 0};
    for (const auto& [key, label] : kinds) {
        if (query.kinds.contains(key)) kind.selected = kind.options.size();
        kind.options.emplace_back(label);
        kind.taps.push_back(act::FindKind{key});
    }
    rows.push_back(row::Button{"find", query.text.empty() ? "Find by words" : "Words: " + query.text,
                               query.text.empty() ? "circuit, part, reason, rider's words" : "tap to change",
                               act::OpenTag{{.of = Field::Of::find}}, true, !query.text.empty()});
    rows.push_back(std::move(kind));
    if (!query.part.empty())
        rows.push_back(row::Button{"part:any", "Part: " + query.part, "tap to see all again", act::FindPart{""}, true, true});
}
}  // namespace

SheetView history_view(const Desk& desk) {
    const Bike* bike = desk.ledger.bike(desk.bike);
    if (!bike) return bikes_view(desk);
    SheetView sheet = blank_sheet(desk, bike->body.name + " · season");
    const Season& season = desk.season;
    // No drawing: the time line has all the room, and stands beside the pad while one types what to find.
    auto& rows = sheet.slip.rows;
    sheet.slip.title = "Newest first";
    finding_rows(desk, rows);
    for (const Entry& e : season.moments) rows.push_back(moment_card(desk, e));
    const bool filtered = !season.query.text.empty() || !season.query.part.empty() || !season.query.kinds.empty();
    if (season.moments.empty() && !season.asked)
        rows.push_back(row::Note{filtered ? "Nothing fits. Fewer words find more."
                                          : "Nothing yet. What you change, keep and write down stands here."});
    if (season.more) rows.push_back(row::Button{"older", "Older ones", "", act::OlderMoments{}, !season.asked});
    sheet.primary = desk.pad ? Primary{"Show these", act::PadNext{}, ""}
                             : Primary{"Write down a session", act::StartEvent{bike->id}, ""};
    return sheet;
}

namespace {
void setup_rows(const Desk& desk, const SetUp& setup, std::vector<Row>& rows) {
    for (const End end : {End::rear, End::front}) {
        bool any = false;
        for (const auto& [place, take] : setup.values) {
            if (place.first != end) continue;
            if (!any) rows.push_back(row::Heading{words::heading(end)});
            any = true;
            rows.push_back(take_card(desk, end, take));
        }
    }
}

void event_rows(const EventBody& e, std::vector<Row>& rows) {
    const auto say = [&](EventField field, const std::string& text) {
        if (!text.empty()) rows.push_back(row::Note{words::label(field) + ": " + text});
    };
    say(EventField::day, e.day);
    say(EventField::circuit, e.circuit);
    say(EventField::session, e.session);
    say(EventField::weather, e.weather);
    say(EventField::tyre, e.tyre);
    const auto number = [&](EventField field, std::optional<double> v) {
        if (v) say(field, words::plain(*v, Unit::one));
    };
    number(EventField::distance, e.distance_km);
    number(EventField::running, e.running_h);
    number(EventField::air, e.air_c);
    number(EventField::track, e.track_c);
    if (!e.words.empty()) rows.push_back(row::Note{"'" + e.words + "'", Ink::ink, true});
}
}  // namespace

SheetView moment_view(const Desk& desk) {
    const Bike* bike = desk.ledger.bike(desk.bike);
    if (!bike || !desk.season.moment) return bikes_view(desk);
    const Entry& e = *desk.season.moment;
    SheetView sheet =
        blank_sheet(desk, fmt::format("{} · {}", bike->body.name, words::day(e.clock.ms, desk.utc_offset_min)));
    const SetUp then = setup_then(desk, e);
    draw_setup(*bike, then, sheet);
    sheet.drawing.caption = "as it stood then";
    auto& rows = sheet.slip.rows;
    sheet.slip.title = words::moment(e.kind);
    sheet.slip.title[0] = static_cast<char>(std::toupper(sheet.slip.title[0]));
    const auto fact = decode(e);
    const auto* event = fact ? std::get_if<EventBody>(&fact->body) : nullptr;
    if (event)
        event_rows(*event, rows);
    else
        rows.push_back(row::Note{line_of(e), Ink::ink, true});
    rows.push_back(row::Note{who_and_when(desk, e.by, e.clock.ms), Ink::baseline});
    if (desk.season.set_aside.contains(e.id))
        rows.push_back(row::Note{"Taken back later. It no longer counts, and is not lost.", Ink::now, true});
    const Baseline* baseline = desk.ledger.baseline(e.id);
    if (baseline && rivals_of(desk.ledger, *baseline).size() > 1)
        rows.push_back(row::Button{"keep-this", "Let this one stand", "another device kept one on the same baseline",
                                   act::KeepThis{e.id}});
    rows.push_back(row::Button{"compare-now", "Compare with now", "", act::OpenBoth{e.id, {}}});
    if (!desk.season.taken.nil() && desk.season.taken != e.id)
        rows.push_back(row::Button{"compare-taken", "Compare with the one before", "",
                                   act::OpenBoth{e.id, desk.season.taken}, true, true});
    else
        rows.push_back(row::Button{"take", "Compare with another", "open it next", act::TakeForCompare{e.id}});
    if (baseline)
        rows.push_back(row::Button{"sheet", "The sheet for the toolbox", "one page, PDF", act::Go{Screen::baseline, e.id}});
    setup_rows(desk, then, rows);
    sheet.primary = then.values.empty()
                        ? no_way("Way back to this", "Nothing was measured by then.")
                        : Primary{"Way back to this", act::ShowWay{bike->id, e.id}, ""};
    return sheet;
}

SheetView event_view(const Desk& desk) {
    const Bike* bike = desk.ledger.bike(desk.bike);
    if (!bike || !desk.season.event) return bikes_view(desk);
    SheetView sheet = blank_sheet(desk, bike->body.name + " · a session");
    draw_setup(*bike, setup_now(desk, bike->id), sheet);
    sheet.slip.title = "What happened";
    EventForm form = *desk.season.event;
    using enum EventField;
    for (const EventField field : {circuit, session, weather, tyre, distance, running, words, air, track, day}) {
        const Field f{.of = Field::Of::event, .event = field};
        sheet.slip.rows.push_back(row::ReadingRow{.id = "row:" + field_id(f),
                                                  .mark = row::Mark::none,
                                                  .label = words::label(field),
                                                  .value = standing_season_text(desk, f),
                                                  .unit = {},
                                                  .plus_minus = {},
                                                  .open = desk.pad && desk.pad->field == f,
                                                  .optional = true,
                                                  .tap = act::OpenTag{f}});
    }
    sheet.primary = desk.pad ? Primary{"Next", act::PadNext{}, ""} : Primary{"Save this session", act::SaveEvent{}, ""};
    return sheet;
}

}  // namespace restand
