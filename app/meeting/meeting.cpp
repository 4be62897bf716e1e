// Devices, copies and files: sends their tasks, and receives the results of all tasks.

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <utility>

#include "app/app_state.h"
#include "app/views/season_wording.h"
#include "app/views/view.h"
#include "core/codec/body_json.h"

namespace restand {

// --- Sent --------------------------------------------------------------------------------------------------

void act_on(AppState& state, const act::ChoosePlace& choose) {
    state.meeting.folder = choose.folder;
    state.meeting.looked = false;
    if (!choose.folder.empty()) send(state, task::Look{choose.folder});
}

void act_on(AppState& state, const act::ExchangeNow&) {
    if (state.meeting.folder.empty()) return say(state, "First choose where: a stick or a shared folder.");
    work(state, task::Exchange{state.meeting.folder}, "Exchanging");
}

void act_on(AppState& state, const act::ExportTo& to) {
    work(state, task::Export{to.folder}, "Writing everything to one file");
}

void act_on(AppState& state, const act::ImportFrom& from) {
    if (!state.writable)
        return say(state, "This workshop file is open for reading only. Nothing was changed.", true);
    work(state, task::Import{from.path}, "Importing");
}

void act_on(AppState& state, const act::TakeBike& from) {
    if (!state.writable)
        return say(state, "This workshop file is open for reading only. Nothing was changed.", true);
    work(state, task::TakeBike{from.path, state.who}, "Taking the bike in");
}

void act_on(AppState& state, const act::HandOver& of) {
    work(state, task::HandOver{state.meeting.folder, of.bike}, "Writing the bike to a file");
}

void act_on(AppState& state, const act::BackUpNow&) {
    if (!state.writable)
        return say(state, "This workshop is open for reading only: no copy is made of it.", true);
    work(state, task::BackUp{}, "Making a copy");
}

void act_on(AppState& state, const act::StoreRejected&) {
    auto& rejected = state.meeting.rejected;
    if (!state.writable)
        return say(state, "This workshop file is open for reading only. Nothing was changed.", true);
    if (rejected.empty() || !state.pending.empty()) return;
    std::vector<NewEntry> entries;
    for (RejectedEntry& kept : std::exchange(rejected.entries, {})) entries.push_back(std::move(kept.entry));
    if (!entries.empty())
        append(state, {.said = "Taken in. They stand where they belong."}, std::move(entries));
}

void act_on(AppState& state, const act::DiscardRejected&) {
    state.unsaved.clear();
    send(state, task::DiscardRejected{state.meeting.rejected.entries});
}

void act_on(AppState& state, const act::RestoreFrom& from) {
    if (!leave_pad(state)) return;
    work(state, task::Restore{from.path, from.other}, "Going back to the copy");
}

void act_on(AppState& state, const act::BeginNew&) {
    if (state.meeting.no_workshop) work(state, task::BeginNew{}, "Beginning a new workshop");
}

void act_on(AppState& state, const act::SheetTo& to) {
    if (state.screen == Screen::plan) {
        const PlanShown* shown = plan_shown(state);
        if (shown) work(state, task::Sheet{to.folder, {}, shown->bike, shown->target}, "Writing the sheet");
    } else {
        work(state, task::Sheet{to.folder, state.baseline, {}, {}}, "Writing the sheet");
    }
}

void act_on(AppState& state, const act::PrintPage&) {
    if (!leave_pad(state)) return;
    auto page = std::make_shared<PageView>(view(state));
    if (!goes_on_paper(*page)) return say(state, "Tables and plots go on paper; this page has none.");
    // A page of its own for the toolbox says more than what the screen shows.
    if (state.screen == Screen::baseline) return act_on(state, act::SheetTo{""});
    work(state, task::PrintPage{"", std::move(page)}, "Writing the page");
}

void act_on(AppState& state, const act::CancelWork&) {
    if (state.work) state.effects.push_back(effect::Cancel{});
}

// --- A table of older readings -----------------------------------------------------------------------------

void act_on(AppState& state, const act::OpenTable& open) {
    if (state.bike.nil()) {
        const auto bikes = state.ledger.bikes();
        if (bikes.empty()) return say(state, "First add the bike the readings are of.");
        state.bike = bikes.front()->id;
    }
    work(state, task::ReadTable{open.path}, "Reading the table");
}

namespace {
// The possible meanings of a column, in the order in which taps cycle through them.
std::vector<ColumnUse> possible_uses(const UnitChoice& units) {
    std::vector<ColumnUse> uses{{.is = ColumnUse::Is::nothing}, {.is = ColumnUse::Is::day}};
    for (const End end : {End::rear, End::front})
        for (const PointFacts& f : all_points()) {
            if (f.dimension == Dimension::text) continue;
            uses.push_back({ColumnUse::Is::value_of_point, end, f.point, chosen(units, f.dimension)});
        }
    for (const auto is : {ColumnUse::Is::point, ColumnUse::Is::value, ColumnUse::Is::end, ColumnUse::Is::unit,
                          ColumnUse::Is::where})
        uses.push_back({.is = is});
    return uses;
}
}  // namespace

void act_on(AppState& state, const act::TableColumn& column) {
    if (column.column >= state.meeting.columns.size()) return;
    const auto uses = possible_uses(state.ledger.units());
    ColumnUse& use = state.meeting.columns[column.column];
    const auto same = [&](const ColumnUse& u) {
        return u.is == use.is &&
               (u.is != ColumnUse::Is::value_of_point || (u.end_of == use.end_of && u.point == use.point));
    };
    auto at = std::find_if(uses.begin(), uses.end(), same);
    if (at != uses.end()) ++at;
    use = at == uses.end() ? uses.front() : *at;
}

void act_on(AppState& state, const act::TableDays&) {
    state.meeting.month_first = !state.meeting.month_first;
}

void act_on(AppState& state, const act::TableBike& of) {
    if (state.ledger.bike(of.bike)) state.bike = of.bike;
}

void act_on(AppState& state, const act::TakeTable&) {
    Meeting& m = state.meeting;
    if (!m.table || !state.pending.empty()) return;
    std::vector<NewEntry> entries;
    for (const PreviewLine& line :
         preview(*m.table, m.columns, wording::file_name(m.table_path), m.month_first))
        if (line.record) entries.push_back(encode(*line.record, state.bike, {}, state.who));
    if (entries.empty())
        return say(state, "No line can be taken yet: say which column is the day, and which a reading.");
    const std::size_t count = entries.size();
    append(state,
           {.then = Pending::Then::show_history,
            .said = fmt::format("{} lines taken. They stand on the time line and in the trends.", count)},
           std::move(entries));
    m.table.reset();
}

// --- Received ----------------------------------------------------------------------------------------------

namespace {
void receive(AppState& state, const task_result::Entries& n) {
    loaded(state, n.entries);
    if (n.said.empty()) return;  // looked up
    state.season.outdated = true;
    say(state, n.said, n.failed);
}

// A page requested for an earlier filter is dropped.
void receive(AppState& state, const task_result::Page& n) {
    Season& season = state.season;
    if (!(n.query == season.query)) return;
    season.asked = false;
    if (!n.query.before) season.moments.clear(), season.with_them.clear(), season.set_aside.clear();
    season.moments.insert(season.moments.end(), n.page.moments.begin(), n.page.moments.end());
    season.with_them.insert(season.with_them.end(), n.page.with_them.begin(), n.page.with_them.end());
    season.set_aside.insert(n.page.set_aside.begin(), n.page.set_aside.end());
    season.more = n.page.more;
}

void receive(AppState& state, const task_result::Samples& n) {
    Season& season = state.season;
    if (n.bike != state.bike) return;
    season.parts = n.parts;
    if (n.what != season.what || n.end != season.end || n.point != season.point) return;
    season.samples = n.samples;
    season.watched = true;
}

void receive(AppState& state, const task_result::Places& n) {
    state.meeting.places = n.places;
    if (!state.meeting.folder.empty()) send(state, task::Look{state.meeting.folder});
}

void receive(AppState& state, const task_result::Seen& n) {
    state.meeting.own_name = n.own_name;
    if (n.folder != state.meeting.folder) return;
    state.meeting.devices = n.devices;
    state.meeting.looked = true;
}

void receive(AppState& state, const task_result::Exchanged& n) {
    loaded(state, n.entries);
    state.season.outdated = true;
    Meeting& m = state.meeting;
    if (n.folder == m.folder) m.devices = n.devices, m.looked = true;
    m.refused = n.refused;
    std::string said = n.put + n.added == 0 ? "Nothing new on either side."
                                            : fmt::format("{} put, {} taken.", n.put, n.added);
    if (!n.refused.empty()) said += fmt::format(" {} passed over, see below.", n.refused.size());
    if (!n.clocks.empty()) said += " " + n.clocks + ".";
    say(state, said, !n.refused.empty() || !n.clocks.empty());
}

void receive(AppState& state, const task_result::Copies& n) {
    state.meeting.copies = n.copies;
    if (!n.said.empty()) say(state, n.said);
}

// Shown once as a notice; it stays readable under 'Devices and copies'.
void receive(AppState& state, const task_result::CopyState& n) {
    if (n.trouble == state.meeting.copy_trouble) return;
    state.meeting.copy_trouble = n.trouble;
    if (!n.trouble.empty()) say(state, n.trouble, true);
}

void receive(AppState& state, const task_result::Rejected& n) {
    state.meeting.rejected = n.shown;
    show_unsaved(state);
    if (!n.said.empty()) say(state, n.said);
}

void receive(AppState& state, const task_result::Table& n) {
    Meeting& m = state.meeting;
    m.table_path = n.path;
    m.table = n.table;
    m.columns = guess_columns(n.table, state.ledger.units());
    state.screen = Screen::table;
}

// The platform opens the workshop again and replaces the state, so nothing is done here.
void receive(AppState&, const task_result::Restored&) {}

void receive(AppState& state, const task_result::Said& n) {
    say(state, n.text);
}
}  // namespace

void came_back(AppState& state, std::uint64_t job, const Result<TaskResult>& result) {
    const bool was_work = state.work && state.work->job == job;
    if (was_work) state.work.reset();
    if (!result) {
        state.season.asked = false;
        if (result.error().code == ErrorCode::cancelled) return say(state, "Stopped. Nothing was changed.");
        return say(state, wording::file_sentence(result.error()), true);
    }
    std::visit([&](const auto& n) { receive(state, n); }, *result);
}

}  // namespace restand
