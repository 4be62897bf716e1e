// The season of one bike: its timeline, one entry of it opened, and the events of a day.

#include <fmt/format.h>

#include <algorithm>

#include "app/views/view.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "core/codec/body_json.h"

namespace restand {

namespace {
std::string line_of(const Entry& entry) {
    const auto fact = decode(entry);
    return fact ? wording::said(fact->body) : "written by a newer Restand";
}

row::Card moment_card(const AppState& state, const Entry& e) {
    const auto fact = decode(e);
    const auto* event = fact ? std::get_if<EventBody>(&fact->body) : nullptr;
    const Person* by = state.ledger.person(e.by);
    row::Card card{
        .id = "moment:" + to_text(e.id),
        .title =
            fmt::format("{} · {}", wording::day(e.clock.ms, state.utc_offset_min), wording::moment(e.kind)),
        .line1 = line_of(e),
        .line2 = fmt::format("{} {}", wording::clock(e.clock.ms, state.utc_offset_min).substr(0, 5),
                             by ? by->name : ""),
        .badge = state.season.set_aside.contains(e.id) ? "taken back" : "",
        .tap = act::OpenMoment{e.id}};
    if (event && !event->words.empty()) card.line2 = "'" + event->words + "'";
    return card;
}

constexpr std::pair<const char*, const char*> kinds[] = {{"", "all"},           {"baseline", "baselines"},
                                                         {"change", "changes"}, {"event", "track"},
                                                         {"swap", "swaps"},     {"record", "older"}};

void finding_rows(const AppState& state, std::vector<Row>& rows) {
    const HistoryQuery& query = state.season.query;
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
        rows.push_back(row::Button{"part:any", "Part: " + query.part, "tap to see all again",
                                   act::FindPart{""}, true, true});
}
}  // namespace

PageView history_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return bikes_view(state);
    PageView page = blank_page(state, bike->body.name + " · season");
    const Season& season = state.season;
    // No drawing here: the timeline needs the room, and stands beside the pad during a search.
    auto& rows = page.panel.rows;
    page.panel.title = "Newest first";
    finding_rows(state, rows);
    for (const Entry& e : season.moments) rows.push_back(moment_card(state, e));
    const bool filtered =
        !season.query.text.empty() || !season.query.part.empty() || !season.query.kinds.empty();
    if (season.moments.empty() && !season.asked)
        rows.push_back(row::Note{filtered
                                     ? "Nothing fits. Fewer words find more."
                                     : "Nothing yet. What you change, keep and write down stands here."});
    if (season.more)
        rows.push_back(row::Button{"older", "Older ones", "", act::OlderMoments{}, !season.asked});
    page.primary = state.pad ? Primary{"Show these", act::PadNext{}, ""}
                             : Primary{"Write down a session", act::StartEvent{bike->id}, ""};
    return page;
}

namespace {
void setup_rows(const AppState& state, const SetUp& setup, std::vector<Row>& rows) {
    for (const End end : {End::rear, End::front}) {
        bool any = false;
        for (const auto& [place, stored] : setup.values) {
            if (place.first != end) continue;
            if (!any) rows.push_back(row::Heading{wording::heading(end)});
            any = true;
            rows.push_back(reading_card(state, end, stored));
        }
    }
}

void event_rows(const EventBody& e, std::vector<Row>& rows) {
    const auto say = [&](EventField field, const std::string& text) {
        if (!text.empty()) rows.push_back(row::Note{wording::label(field) + ": " + text});
    };
    say(EventField::day, e.day);
    say(EventField::circuit, e.circuit);
    say(EventField::session, e.session);
    say(EventField::weather, e.weather);
    say(EventField::tyre, e.tyre);
    const auto number = [&](EventField field, std::optional<double> v) {
        if (v) say(field, wording::plain(*v, Unit::one));
    };
    number(EventField::distance, e.distance_km);
    number(EventField::running, e.running_h);
    number(EventField::air, e.air_c);
    number(EventField::track, e.track_c);
    if (!e.words.empty()) rows.push_back(row::Note{"'" + e.words + "'", Ink::ink, true});
}
}  // namespace

PageView moment_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike || !state.season.moment) return bikes_view(state);
    const Entry& e = *state.season.moment;
    PageView page = blank_page(
        state, fmt::format("{} · {}", bike->body.name, wording::day(e.clock.ms, state.utc_offset_min)));
    const SetUp then = setup_then(state, e);
    draw_setup(*bike, then, page);
    page.drawing.caption = e.kind == "record" ? "as written down, not as it stood" : "as it stood then";
    auto& rows = page.panel.rows;
    page.panel.title = wording::moment(e.kind);
    page.panel.title[0] = static_cast<char>(std::toupper(page.panel.title[0]));
    const auto fact = decode(e);
    const auto* event = fact ? std::get_if<EventBody>(&fact->body) : nullptr;
    if (event)
        event_rows(*event, rows);
    else
        rows.push_back(row::Note{line_of(e), Ink::ink, true});
    rows.push_back(row::Note{who_and_when(state, e.by, e.clock.ms), Ink::baseline});
    if (state.season.set_aside.contains(e.id))
        rows.push_back(row::Note{"Taken back later. It no longer counts, and is not lost.", Ink::now, true});
    const Baseline* baseline = state.ledger.baseline(e.id);
    if (baseline && rivals_of(state.ledger, *baseline).size() > 1)
        rows.push_back(row::Button{"keep-this", "Let this one stand",
                                   "another device kept one on the same baseline", act::KeepThis{e.id}});
    rows.push_back(row::Button{"compare-now", "Compare with now", "", act::OpenBoth{e.id, {}}});
    if (!state.season.taken.nil() && state.season.taken != e.id)
        rows.push_back(row::Button{"compare-taken", "Compare with the one before", "",
                                   act::OpenBoth{e.id, state.season.taken}, true, true});
    else
        rows.push_back(
            row::Button{"take", "Compare with another", "open it next", act::TakeForCompare{e.id}});
    for (const Bike* other : state.ledger.bikes())
        if (other->id != bike->id && !then.values.empty())
            rows.push_back(row::Button{"over:" + to_text(other->id), "As a target for " + other->body.name,
                                       "its settings and parts", act::TakeOver{e.id, other->id}});
    if (baseline)
        rows.push_back(row::Button{"sheet", "The sheet for the toolbox", "one page, PDF",
                                   act::Go{Screen::baseline, e.id}});
    setup_rows(state, then, rows);
    if (e.kind == "record" && !then.values.empty())
        page.primary = {"The way there", act::ShowPlan{bike->id, e.id}, ""};
    else
        page.primary = then.values.empty() ? no_way("Way back to this", "Nothing was measured by then.")
                                           : Primary{"Way back to this", act::ShowPlan{bike->id, e.id}, ""};
    return page;
}

PageView event_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike || !state.season.event) return bikes_view(state);
    PageView page = blank_page(state, bike->body.name + " · a session");
    draw_setup(*bike, setup_now(state, bike->id), page);
    page.panel.title = "What happened";
    EventForm form = *state.season.event;
    using enum EventField;
    for (const EventField field :
         {circuit, session, weather, tyre, distance, running, words, air, track, day}) {
        const Field f{.of = Field::Of::event, .event = field};
        page.panel.rows.push_back(form_row(state, f, wording::label(field), standing_season_text(state, f)));
    }
    page.primary =
        state.pad ? Primary{"Next", act::PadNext{}, ""} : Primary{"Save this session", act::SaveEvent{}, ""};
    return page;
}

}  // namespace restand
