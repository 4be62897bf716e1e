#include "app/meeting/devices_view.h"

#include <fmt/format.h>

#include <algorithm>

#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"

namespace restand {

namespace {
std::string entries(std::uint64_t count) {
    return count == 1 ? "1 entry" : fmt::format("{} entries", count);
}

std::string how_far(const Seen& other) {
    if (other.has == 0 && other.lacks == 0) return "agrees with this one";
    std::string text;
    if (other.lacks) text = "lacks " + entries(other.lacks) + " of ours";
    if (other.has)
        text += (text.empty() ? "" : " · ") + std::string("has ") + entries(other.has) + " we lack";
    return text;
}

// Two devices with the same name also show their numbers.
std::string device_name(const Meeting& m, const Seen& other) {
    const std::string number = fmt::format("{:016x}", other.sender.device).substr(0, 4);
    if (other.sender.name.empty()) return "device " + number;
    const auto same = [&](const std::string& name) { return name == other.sender.name; };
    const auto count =
        std::count_if(m.devices.begin(), m.devices.end(), [&](const Seen& s) { return same(s.sender.name); });
    return count > 1 || same(m.own_name) ? other.sender.name + " · " + number : other.sender.name;
}

void place_rows(const AppState& state, std::vector<Row>& rows) {
    const Meeting& m = state.meeting;
    for (std::size_t i = 0; i < m.places.size(); ++i) {
        const FoundPlace& place = m.places[i];
        rows.push_back(row::Button{fmt::format("place:{}", i), place.label, place.folder,
                                   act::ChoosePlace{place.folder}, true, place.folder == m.folder});
    }
    if (m.places.empty())
        rows.push_back(
            row::Note{"No stick and no shared folder was found. Put the stick in, or type the folder."});
    rows.push_back(
        row::Button{"place:typed", "Type another folder", "", act::OpenTag{{.of = Field::Of::folder}}});
}

void device_rows(const AppState& state, std::vector<Row>& rows) {
    const Meeting& m = state.meeting;
    if (m.folder.empty() || !m.looked) return;
    rows.push_back(row::Heading{"Other devices there"});
    if (m.devices.empty()) rows.push_back(row::Note{"None has been here yet."});
    for (const Seen& other : m.devices)
        rows.push_back(
            row::Card{.id = fmt::format("device:{:x}", other.sender.device),
                      .title = device_name(m, other),
                      .line1 = how_far(other),
                      .line2 = "last here " + wording::day(other.sender.at_ms, state.utc_offset_min) + " " +
                               wording::clock(other.sender.at_ms, state.utc_offset_min).substr(0, 5),
                      .badge = {},
                      .tap = act::DismissNotice{}});
    for (const Error& e : m.refused)
        rows.push_back(row::Note{wording::file_sentence(e), Ink::stop, false, true});
}

void copy_rows(const AppState& state, std::vector<Row>& rows) {
    rows.push_back(row::Heading{"Copies of this workshop"});
    rows.push_back(row::Note{"Made by itself at every start and every 50 entries, and opened to check it.",
                             Ink::ink, false, true});
    if (!state.meeting.copy_trouble.empty()) rows.push_back(row::Note{state.meeting.copy_trouble, Ink::stop});
    rows.push_back(
        row::Button{"backup", "Make a copy now", "", act::BackUpNow{}, !state.work && state.writable});
    std::size_t shown = 0;
    for (const CopyOnDisk& copy : state.meeting.copies) {
        if (++shown > 6) break;
        const std::string when = wording::day(copy.at_ms, state.utc_offset_min) + " " +
                                 wording::clock(copy.at_ms, state.utc_offset_min);
        const std::string whose = copy.of_other ? " · another device's" : "";
        if (copy.of_damaged)
            rows.push_back(row::Note{when + " · " + entries(copy.entries) +
                                         " that could be read of a workshop with damage" + whose,
                                     Ink::stop, false, true});
        else if (!copy.good)
            rows.push_back(row::Note{when + " · damaged, not offered", Ink::stop, false, true});
        else
            asking(
                state, rows,
                {fmt::format("copy:{}", shown - 1), "Go back to " + when,
                 entries(copy.entries) + ", checked" + whose, act::RestoreFrom{copy.path, copy.of_other},
                 !state.work},
                {std::string(copy.of_other ? "Another device made this copy; it may be of another workshop. "
                                           : "") +
                     "Go back to the copy of " + when +
                     "? What was written since is not in it; the workshop as it "
                     "stands now is kept beside it.",
                 "Go back", "Stay"});
    }
}

// Says how many rows follow after the first `most` of a list.
void and_more(std::vector<Row>& rows, std::size_t count, std::size_t most) {
    if (count > most)
        rows.push_back(row::Note{fmt::format("and {} more", count - most), Ink::ink, false, true});
}

// "No. 27 · change · front rebound clicks 12 · 3 May 2026 14:02"
std::string said_in(const AppState& state, const RejectedEntry& kept) {
    const Bike* bike = state.ledger.bike(kept.entry.bike);
    const std::string said = wording::said(kept.entry);
    const int offset = state.utc_offset_min;
    return (bike ? bike->body.name + " · " : "") + wording::moment(kept.entry.kind) +
           (said.empty() ? "" : " · " + said) +
           (kept.at_ms == 0 ? ""
                            : " · " + wording::day(kept.at_ms, offset) + " " +
                                  wording::clock(kept.at_ms, offset).substr(0, 5));
}

void rejected_rows(const AppState& state, std::vector<Row>& rows) {
    const auto& rejected = state.meeting.rejected;
    if (rejected.empty()) return;
    rows.push_back(row::Heading{"Not in the workshop file"});
    const std::size_t count = rejected.entries.size();
    rows.push_back(row::Note{
        "The disk would not take these. They wait here until they are taken in or thrown away.", Ink::stop});
    for (const RejectedEntry& kept : rejected.entries)
        rows.push_back(row::Note{said_in(state, kept), Ink::ink, false, true});
    if (rejected.unreadable > 0)
        rows.push_back(row::Note{fmt::format("{} more cannot be read: torn while they were written.",
                                             entries(rejected.unreadable)),
                                 Ink::stop});
    if (count > 0)
        rows.push_back(row::Button{"aside:take", "Take them into the workshop", "", act::StoreRejected{},
                                   state.writable});
    asking(state, rows,
           {"aside:drop", "Throw them away", "when they were written down anew", act::DiscardRejected{}},
           {fmt::format("Throw {} away?", entries(count + rejected.unreadable)), "Throw away", "Keep them"});
}

void file_rows(const AppState& state, std::vector<Row>& rows) {
    rows.push_back(row::Heading{"Files"});
    rows.push_back(row::Button{"export", "Everything in one file", "for another device, by any way",
                               act::ExportTo{state.meeting.folder}, !state.work});
    std::size_t i = 0, cases = 0;
    for (const FoundPlace& place : state.meeting.places) {
        for (const std::string& path : place.bundles)
            rows.push_back(row::Button{fmt::format("import:{}", i++), "Take in " + wording::file_name(path),
                                       place.label, act::ImportFrom{path}, !state.work});
        for (const std::string& path : place.cases)
            rows.push_back(row::Button{fmt::format("case:{}", cases++), "A bike: " + wording::file_name(path),
                                       place.label, act::TakeBike{path}, !state.work});
        for (const std::string& path : place.tables)
            rows.push_back(row::Button{fmt::format("table:{}", i++),
                                       "Older readings: " + wording::file_name(path), place.label,
                                       act::OpenTable{path}, !state.work});
    }
}
}  // namespace

PageView devices_view(const AppState& state) {
    PageView page = blank_page(state, "Devices and copies");
    const Meeting& m = state.meeting;
    auto& rows = page.panel.rows;
    page.panel.title = m.own_name.empty() ? "This device" : "This is " + m.own_name;
    rejected_rows(state, rows);
    if (m.no_workshop)
        rows.push_back(row::Button{"begin_new", "Begin a new workshop", "in place of going back to a copy",
                                   act::BeginNew{}, !state.work});
    rows.push_back(row::Button{
        "name", m.own_name.empty() ? "Give this device a name" : "Call this device something else", "",
        act::OpenTag{{.of = Field::Of::device}}});
    rows.push_back(row::Heading{"Where the devices meet"});
    place_rows(state, rows);
    device_rows(state, rows);
    copy_rows(state, rows);
    file_rows(state, rows);
    if (state.pad)
        page.primary = {"Keep it", act::PadNext{}, ""};
    else if (state.work)
        page.primary = {"Stop", act::CancelWork{}, ""};
    else if (m.folder.empty())
        page.primary = no_way("Exchange now", "Choose first where the devices meet.");
    else
        page.primary = {"Exchange now", act::ExchangeNow{}, ""};
    return page;
}

PageView table_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    const Meeting& m = state.meeting;
    if (!bike || !m.table) return devices_view(state);
    PageView page =
        blank_page(state, wording::file_name(m.table_path) + " · older readings of " + bike->body.name);
    auto& rows = page.panel.rows;
    page.panel.title = "What each column is";
    for (std::size_t i = 0; i < m.columns.size(); ++i) {
        const std::string head = i < m.table->head.size() && !m.table->head[i].empty()
                                     ? m.table->head[i]
                                     : fmt::format("column {}", i + 1);
        rows.push_back(row::Button{fmt::format("column:{}", i), head, wording::column(m.columns[i]),
                                   act::TableColumn{i}, true, m.columns[i].is != ColumnUse::Is::nothing});
    }
    rows.push_back(row::Choice{"days",
                               "1/2 in a day is",
                               {"1 February", "January 2"},
                               {act::TableDays{}, act::TableDays{}},
                               m.month_first ? 1u : 0u});
    row::Choice of{"of", "readings of", {}, {}, 0};
    for (const Bike* each : state.ledger.bikes()) {
        if (each->id == bike->id) of.selected = of.options.size();
        of.options.push_back(each->body.name);
        of.taps.push_back(act::TableBike{each->id});
    }
    rows.push_back(std::move(of));
    const auto lines = preview(*m.table, m.columns, wording::file_name(m.table_path), m.month_first);
    const auto good = static_cast<std::size_t>(
        std::count_if(lines.begin(), lines.end(), [](const PreviewLine& l) { return l.record.has_value(); }));
    rows.push_back(row::Heading{fmt::format("{} of {} lines can be taken", good, lines.size())});
    std::size_t shown = 0;
    for (const PreviewLine& line : lines) {
        if (++shown > 12) break;
        if (line.record) {
            std::string text = line.record->day;
            for (const SetValue& v : line.record->values)
                text += fmt::format(" · {} {}", wording::label(v.reading.point, v.end),
                                    wording::reading(v.reading));
            rows.push_back(row::Note{fmt::format("{}: {}", line.line, text), Ink::ink, false, true});
        } else if (line.problem) {
            rows.push_back(row::Note{fmt::format("line {}, {}: {}", line.line, line.problem_column,
                                                 wording::sentence(*line.problem)),
                                     Ink::stop, false, true});
        }
    }
    and_more(rows, lines.size(), 12);
    page.primary = good == 0 ? no_way("Take them", "Say which column is the day, and which a reading.")
                             : Primary{good == 1 ? "Take 1 line" : fmt::format("Take {} lines", good),
                                       act::TakeTable{}, ""};
    return page;
}

}  // namespace restand
