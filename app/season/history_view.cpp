#include "app/season/history_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "app/season/baselines_view.h"
#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "app/workshop/bikes_view.h"
#include "core/codec/body_json.h"

namespace restand {

namespace {
// How a swap or a way back ended: 'kept · '. It stands first, because narrow pages cut the end of a line. ""
// where it did not end, or nothing can.
std::string ending_of(const Season& season, const Entry& e) {
    const Id& thing = e.kind == "swap" && !e.about.nil() ? e.about : e.id;
    for (const Entry& end : season.with_them) {
        if (end.about != thing || season.set_aside.contains(end.id)) continue;
        const auto fact = decode(end);
        if (!fact) continue;
        if (const auto* swap = std::get_if<SwapEndBody>(&fact->body))
            return swap->kept ? "kept · " : "set aside · ";
        if (const auto* way = std::get_if<PlanEndBody>(&fact->body))
            return way->not_restored ? "not restored · " : way->reached ? "done · " : "left · ";
    }
    return "";
}

std::string entry_text(const AppState& state, const Entry& entry) {
    const auto fact = decode(entry);
    if (!fact) return "written by a newer Restand";
    std::string said = wording::said(fact->body);
    if (const auto* way = std::get_if<PlanBody>(&fact->body))
        if (const Entry* target = moment_of(state, way->target))
            said = fmt::format("back to the {} of {}", wording::moment(target->kind),
                               wording::day(target->clock.ms, state.utc_offset_min));
    return ending_of(state.season, entry) + said;
}

PageTable::Line moment_line(const AppState& state, const Entry& e) {
    const auto fact = decode(e);
    const auto* event = fact ? std::get_if<EventBody>(&fact->body) : nullptr;
    const bool back = state.season.set_aside.contains(e.id);
    std::string said = entry_text(state, e);
    if (event && !event->words.empty()) said += (said.empty() ? "'" : " · '") + event->words + "'";
    return {.id = "moment:" + to_text(e.id),
            .cells = {wording::short_day(e.clock.ms, state.now_ms, state.utc_offset_min) + " " +
                          wording::clock(e.clock.ms, state.utc_offset_min).substr(0, 5),
                      (back ? "taken back: " : "") + wording::moment(e.kind), std::move(said),
                      name_of(state, e.by)},
            .tap = act::OpenMoment{e.id},
            .kind = back ? PageTable::Line::Kind::quiet : PageTable::Line::Kind::plain};
}

// One of several taps on a setting: the last one says their sum. An Undo supersedes two entries.
bool is_summed_up(const Season& season, const Entry& e) {
    return e.kind == "change" &&
           std::any_of(season.moments.begin(), season.moments.end(), [&](const Entry& later) {
               return later.kind == "change" && later.supersedes == std::vector{e.id};
           });
}

constexpr std::pair<const char*, const char*> entry_kinds[] = {
    {"", "all"},        {"baseline", "baselines"}, {"change", "changes"},
    {"event", "track"}, {"swap", "swaps"},         {"record", "older"}};

std::vector<PageTable::Key> finding_keys(const AppState& state) {
    const HistoryQuery& query = state.season.query;
    std::vector<PageTable::Key> keys;
    std::size_t i = 0;
    for (const auto& [key, label] : entry_kinds) {
        const bool chosen = *key ? query.kinds.contains(key) : query.kinds.empty();
        keys.push_back({"kind:" + std::to_string(i++), label, act::FindKind{key}, chosen});
    }
    keys.push_back({"find", query.text.empty() ? "find …" : "words: " + query.text,
                    act::OpenTag{{.of = Field::Of::find}}, !query.text.empty()});
    if (!query.part.empty())
        keys.push_back({"part:any", "part: " + query.part + " · all again", act::FindPart{""}, true});
    return keys;
}
}  // namespace

PageView history_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return bikes_view(state);
    PageView page = blank_page(state, bike->body.name + " · season");
    const Season& season = state.season;
    PageTable table;
    table.keys = finding_keys(state);
    table.columns = {{""}, {""}, {"", false, Ink::ink, true, true}, {""}};
    for (const Entry& e : season.moments)
        if (!is_summed_up(season, e)) table.lines.push_back(moment_line(state, e));
    const std::size_t entries = table.lines.size();
    const bool filtered =
        !season.query.text.empty() || !season.query.part.empty() || !season.query.kinds.empty();
    if (season.moments.empty())
        table.lines.push_back(
            {.cells = {season.asked ? "Looking through the season …"
                       : filtered   ? "Nothing fits. Fewer words find more."
                                    : "Nothing yet. What you change, keep and write down stands here."},
             .kind = PageTable::Line::Kind::note});
    if (season.more)
        table.lines.push_back({.id = "older", .cells = {"Older ones"}, .tap = act::OlderMoments{}});
    table.foot = wording::how_many(entries, "entry", "entries") + ", newest first" +
                 (season.more ? "; older ones below" : "");
    page.table = std::move(table);
    page.primary = state.pad ? Primary{"Show these", act::PadNext{}, ""}
                             : Primary{"Write down a session", act::StartEvent{bike->id}, ""};
    return page;
}

namespace {
void event_lines(const EventBody& e, std::vector<PageTable::Line>& lines) {
    const auto say = [&](EventField field, const std::string& text) {
        if (!text.empty())
            lines.push_back(
                {.cells = {wording::label(field) + ": " + text}, .kind = PageTable::Line::Kind::note});
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
    if (!e.words.empty())
        lines.push_back({.cells = {"'" + e.words + "'"}, .kind = PageTable::Line::Kind::plain});
}

// "Heights as measured, not restored: rear ride height, rider 442.6 mm"; "" of anything but a way back.
std::string heights_at_end(const Ledger& ledger, const Id& moment) {
    const RestorePlan* way = ledger.plan(moment);
    if (!way) return "";
    std::map<std::string, std::string> newest;
    for (const PlanStep& step : way->steps)
        if (is_measuring(step.action) && !step.values.empty() &&
            is_ride_height(step.values.front().reading.point))
            newest[step.action] = wording::said(PlanStepBody{step.action, step.values});
    std::string text;
    for (const auto& [action, height] : newest) text += (text.empty() ? ": " : " · ") + height;
    return text.empty() ? "" : (way->not_restored ? "Heights as measured, not restored" : "Heights") + text;
}
}  // namespace

PageView moment_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike || !state.season.moment) return bikes_view(state);
    const Entry& e = *state.season.moment;
    PageView page = blank_page(
        state, fmt::format("{} · {}", bike->body.name, wording::day(e.clock.ms, state.utc_offset_min)));
    const SetUp then = setup_then(state.ledger, e);
    PageTable table = setup_table(state, then.values);
    const auto fact = decode(e);
    const auto* event = fact ? std::get_if<EventBody>(&fact->body) : nullptr;
    std::vector<PageTable::Line> head;
    const auto note = [&head](std::string text, PageTable::Line::Kind kind) {
        if (!text.empty()) head.push_back({.cells = {std::move(text)}, .kind = kind});
    };
    std::string what = wording::moment(e.kind);
    what[0] = static_cast<char>(std::toupper(what[0]));
    note(what + (event || entry_text(state, e).empty() ? "" : ": " + entry_text(state, e)),
         PageTable::Line::Kind::plain);
    if (event) event_lines(*event, head);
    note(heights_at_end(state.ledger, e.id), PageTable::Line::Kind::plain);
    if (state.season.set_aside.contains(e.id))
        note("Taken back later. It no longer counts, and is not lost.", PageTable::Line::Kind::changed);
    const Baseline* baseline = state.ledger.baseline(e.id);
    auto& keys = table.keys;
    if (baseline && rivals_of(state.ledger, *baseline).size() > 1) {
        note("Another device kept one on the same baseline.", PageTable::Line::Kind::changed);
        keys.push_back({"keep-this", "Let this one stand", act::KeepThis{e.id}});
    }
    keys.push_back({"compare-now", "Compare with now", act::OpenBoth{e.id, {}}});
    if (!state.season.taken.nil() && state.season.taken != e.id)
        keys.push_back(
            {"compare-taken", "Compare with the one before", act::OpenBoth{e.id, state.season.taken}, true});
    else
        keys.push_back({"take", "Compare with another: open it next", act::TakeForCompare{e.id}});
    for (const Bike* other : state.ledger.bikes())
        if (other->id != bike->id && !then.values.empty())
            keys.push_back({"over:" + to_text(other->id), "As a target for " + other->body.name,
                            act::TakeOver{e.id, other->id}});
    if (baseline) table.more.push_back({"sheet", "The sheet, PDF", act::Go{Screen::baseline, e.id}});
    table.lines.insert(table.lines.begin(), head.begin(), head.end());
    table.foot = fmt::format("{} · {}{}", who_and_when(state, e.by, e.clock.ms),
                             e.kind == "record" ? "as written down, not as it stood" : "as it stood then",
                             then.values.empty() ? "" : ". " + table.foot);
    page.table = std::move(table);
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
    draw_setup(*bike, setup_now(state.ledger, bike->id), page);
    page.panel.title = "What happened";
    EventForm form = *state.season.event;
    using enum EventField;
    for (const EventField field :
         {circuit, session, weather, tyre, distance, running, words, air, track, day}) {
        const Field f{.of = Field::Of::event, .event = field};
        page.panel.rows.push_back(form_row(state, f, wording::label(field), standing_season_text(state, f)));
    }
    page.panel.rows.push_back(row::Note{"Going back keeps what is written until it is saved or thrown away.",
                                        Ink::ink, false, true});
    asking(state, page.panel.rows, row::Button{"drop-event", "Throw it away", "", act::DropEvent{}},
           {"What was written of this session is gone then.", "Throw it away", "Keep writing"});
    page.primary =
        state.pad ? Primary{"Next", act::PadNext{}, ""} : Primary{"Save this session", act::SaveEvent{}, ""};
    return page;
}

}  // namespace restand
