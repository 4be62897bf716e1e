// Devices, copies and files: errands sent, and what comes back from all errands.

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "app/desk_parts.h"
#include "app/views/words.h"
#include "core/exchange/body_json.h"

namespace restand {

// --- Sent
// ----------------------------------------------------------------------------------------------------------------

void act_on(Desk& desk, const act::ChoosePlace& choose) {
    desk.meeting.folder = choose.folder;
    desk.meeting.looked = false;
    if (!choose.folder.empty()) send(desk, errand::Look{choose.folder});
}

void act_on(Desk& desk, const act::ExchangeNow&) {
    if (desk.meeting.folder.empty()) return say(desk, "First choose where: a stick or a shared folder.");
    work(desk, errand::Exchange{desk.meeting.folder}, "Exchanging");
}

void act_on(Desk& desk, const act::ExportTo& to) {
    work(desk, errand::Export{to.folder}, "Writing everything to one file");
}

void act_on(Desk& desk, const act::ImportFrom& from) {
    if (!desk.writable) return say(desk, "This workshop file is open for reading only. Nothing was changed.", true);
    work(desk, errand::Import{from.path}, "Importing");
}

void act_on(Desk& desk, const act::BackUpNow&) {
    if (!desk.writable) return say(desk, "This workshop is open for reading only: no copy is made of it.", true);
    work(desk, errand::BackUp{}, "Making a copy");
}

void act_on(Desk& desk, const act::TakeAside&) {
    auto& aside = desk.meeting.aside;
    if (!desk.writable) return say(desk, "This workshop file is open for reading only. Nothing was changed.", true);
    if (aside.empty() || !desk.pending.empty()) return;
    std::vector<NewEntry> entries;
    for (KeptAside& kept : std::exchange(aside.entries, {})) entries.push_back(std::move(kept.entry));
    if (!entries.empty()) append(desk, {.said = "Taken in. They stand where they belong."}, std::move(entries));
}

void act_on(Desk& desk, const act::ThrowAside&) {
    desk.unsaved.clear();
    send(desk, errand::ThrowAside{desk.meeting.aside.entries});
}

void act_on(Desk& desk, const act::RestoreFrom& from) {
    if (!leave_pad(desk)) return;
    work(desk, errand::Restore{from.path, from.other}, "Going back to the copy");
}

void act_on(Desk& desk, const act::BeginNew&) {
    if (desk.meeting.no_workshop) work(desk, errand::BeginNew{}, "Beginning a new workshop");
}

void act_on(Desk& desk, const act::SheetTo& to) {
    if (desk.screen == Screen::way) {
        const auto shown = way_shown(desk);
        if (shown) work(desk, errand::Sheet{to.folder, {}, shown->bike, shown->target}, "Writing the sheet");
    } else {
        work(desk, errand::Sheet{to.folder, desk.baseline, {}, {}}, "Writing the sheet");
    }
}

void act_on(Desk& desk, const act::CancelWork&) {
    if (desk.work) desk.effects.push_back(effect::Cancel{});
}

// --- A table of older readings
// --------------------------------------------------------------------------------------------

void act_on(Desk& desk, const act::OpenTable& open) {
    if (desk.bike.nil()) {
        const auto bikes = desk.ledger.bikes();
        if (bikes.empty()) return say(desk, "First add the bike the readings are of.");
        desk.bike = bikes.front()->id;
    }
    work(desk, errand::ReadTable{open.path}, "Reading the table");
}

namespace {
// What a column can be, in the order that tapping it goes through.
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

void act_on(Desk& desk, const act::TableColumn& column) {
    if (column.column >= desk.meeting.columns.size()) return;
    const auto uses = possible_uses(desk.ledger.units());
    ColumnUse& use = desk.meeting.columns[column.column];
    const auto same = [&](const ColumnUse& u) {
        return u.is == use.is && (u.is != ColumnUse::Is::value_of_point || (u.end_of == use.end_of && u.point == use.point));
    };
    auto at = std::find_if(uses.begin(), uses.end(), same);
    if (at != uses.end()) ++at;
    use = at == uses.end() ? uses.front() : *at;
}

void act_on(Desk& desk, const act::TableDays&) {
    desk.meeting.month_first = !desk.meeting.month_first;
}

void act_on(Desk& desk, const act::TableBike& of) {
    if (desk.ledger.bike(of.bike)) desk.bike = of.bike;
}

void act_on(Desk& desk, const act::TakeTable&) {
    Meeting& m = desk.meeting;
    if (!m.table || !desk.pending.empty()) return;
    std::vector<NewEntry> entries;
    for (const PreviewLine& line : preview(*m.table, m.columns, words::file_name(m.table_path), m.month_first))
        if (line.record) entries.push_back(encode(*line.record, desk.bike, {}, desk.who));
    if (entries.empty()) return say(desk, "No line can be taken yet: say which column is the day, and which a reading.");
    const std::size_t count = entries.size();
    append(desk,
           {.then = Pending::Then::show_history,
            .said = fmt::format("{} lines taken. They stand on the time line and in the trends.", count)},
           std::move(entries));
    m.table.reset();
}

// --- What comes back
// ----------------------------------------------------------------------------------------------------

namespace {
void receive(Desk& desk, const news::Entries& n) {
    loaded(desk, n.entries);
    if (!n.said.empty()) say(desk, n.said);
}

// A page that was asked for before the question changed is not wanted any more.
void receive(Desk& desk, const news::Page& n) {
    Season& season = desk.season;
    if (!(n.query == season.query)) return;
    season.asked = false;
    if (!n.query.before) season.moments.clear(), season.with_them.clear(), season.set_aside.clear();
    season.moments.insert(season.moments.end(), n.page.moments.begin(), n.page.moments.end());
    season.with_them.insert(season.with_them.end(), n.page.with_them.begin(), n.page.with_them.end());
    season.set_aside.insert(n.page.set_aside.begin(), n.page.set_aside.end());
    season.more = n.page.more;
}

void receive(Desk& desk, const news::Samples& n) {
    Season& season = desk.season;
    if (n.bike != desk.bike) return;
    season.parts = n.parts;
    if (n.what != season.what || n.end != season.end || n.point != season.point) return;
    season.samples = n.samples;
    season.watched = true;
}

void receive(Desk& desk, const news::Places& n) {
    desk.meeting.places = n.places;
    if (!desk.meeting.folder.empty()) send(desk, errand::Look{desk.meeting.folder});
}

void receive(Desk& desk, const news::Seen& n) {
    desk.meeting.own_name = n.own_name;
    if (n.folder != desk.meeting.folder) return;
    desk.meeting.devices = n.devices;
    desk.meeting.looked = true;
}

void receive(Desk& desk, const news::Exchanged& n) {
    loaded(desk, n.entries);
    Meeting& m = desk.meeting;
    if (n.folder == m.folder) m.devices = n.devices, m.looked = true;
    m.refused = n.refused;
    std::string said = n.put + n.added == 0 ? "Nothing new on either side."
                                            : fmt::format("{} put, {} taken.", n.put, n.added);
    if (!n.refused.empty()) said += fmt::format(" {} passed over, see below.", n.refused.size());
    if (!n.clocks.empty()) said += " " + n.clocks + ".";
    say(desk, said, !n.refused.empty() || !n.clocks.empty());
}

void receive(Desk& desk, const news::Copies& n) {
    desk.meeting.copies = n.copies;
    if (!n.said.empty()) say(desk, n.said);
}

// Said once; it stays readable under 'Devices and copies'.
void receive(Desk& desk, const news::CopyState& n) {
    if (n.trouble == desk.meeting.copy_trouble) return;
    desk.meeting.copy_trouble = n.trouble;
    if (!n.trouble.empty()) say(desk, n.trouble, true);
}

void receive(Desk& desk, const news::Aside& n) {
    desk.meeting.aside = n.shown;
    show_unsaved(desk);
    if (!n.said.empty()) say(desk, n.said);
}

void receive(Desk& desk, const news::Table& n) {
    Meeting& m = desk.meeting;
    m.table_path = n.path;
    m.table = n.table;
    m.columns = guess_columns(n.table, desk.ledger.units());
    desk.screen = Screen::table;
}

// The platform opens the workshop anew; the desk has nothing left to say.
void receive(Desk&, const news::Restored&) {}

void receive(Desk& desk, const news::Said& n) {
    say(desk, n.text);
}
}  // namespace

void came_back(Desk& desk, std::uint64_t job, const Result<News>& result) {
    const bool was_work = desk.work && desk.work->job == job;
    if (was_work) desk.work.reset();
    if (!result) {
        desk.season.asked = false;
        if (result.error().code == ErrorCode::cancelled) return say(desk, "Stopped. Nothing was changed.");
        return say(desk, words::file_sentence(result.error()), true);
    }
    std::visit([&](const auto& n) { receive(desk, n); }, *result);
}

}  // namespace restand
