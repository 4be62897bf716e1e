// Where the devices of a team meet, the copies of this workshop, and tables of older readings.

#include <fmt/format.h>

#include <algorithm>

#include "app/views/view.h"
#include "app/views/view_parts.h"
#include "app/views/words.h"

namespace restand {

namespace {
std::string entries(std::uint64_t count) {
    return count == 1 ? "1 entry" : fmt::format("{} entries", count);
}

std::string how_far(const Seen& other) {
    if (other.has == 0 && other.lacks == 0) return "agrees with this one";
    std::string text;
    if (other.lacks) text = "lacks " + entries(other.lacks) + " of ours";
    if (other.has) text += (text.empty() ? "" : " · ") + std::string("has ") + entries(other.has) + " we lack";
    return text;
}

// Two machines of one name are told apart by their numbers.
std::string name_of(const Meeting& m, const Seen& other) {
    const std::string number = fmt::format("{:016x}", other.sender.device).substr(0, 4);
    if (other.sender.name.empty()) return "device " + number;
    const auto same = [&](const std::string& name) { return name == other.sender.name; };
    const auto count = std::count_if(m.devices.begin(), m.devices.end(), [&](const Seen& s) { return same(s.sender.name); });
    return count > 1 || same(m.own_name) ? other.sender.name + " · " + number : other.sender.name;
}

void place_rows(const Desk& desk, std::vector<Row>& rows) {
    const Meeting& m = desk.meeting;
    for (std::size_t i = 0; i < m.places.size(); ++i) {
        const FoundPlace& place = m.places[i];
        rows.push_back(row::Button{fmt::format("place:{}", i), place.label, place.folder,
                                   act::ChoosePlace{place.folder}, true, place.folder == m.folder});
    }
    if (m.places.empty()) rows.push_back(row::Note{"No stick and no shared folder was found. Put the stick in, or type the folder."});
    rows.push_back(row::Button{"place:typed", "Type another folder", "", act::OpenTag{{.of = Field::Of::folder}}});
}

void device_rows(const Desk& desk, std::vector<Row>& rows) {
    const Meeting& m = desk.meeting;
    if (m.folder.empty() || !m.looked) return;
    rows.push_back(row::Heading{"Other devices there"});
    if (m.devices.empty()) rows.push_back(row::Note{"None has been here yet."});
    for (const Seen& other : m.devices)
        rows.push_back(row::Card{.id = fmt::format("device:{:x}", other.sender.device),
                                 .title = name_of(m, other),
                                 .line1 = how_far(other),
                                 .line2 = "last here " + words::day(other.sender.at_ms, desk.utc_offset_min) + " " +
                                          words::clock(other.sender.at_ms, desk.utc_offset_min).substr(0, 5),
                                 .badge = {},
                                 .tap = act::DismissNotice{}});
    for (const Error& e : m.refused) rows.push_back(row::Note{words::file_sentence(e), Ink::stop, false, true});
}

void copy_rows(const Desk& desk, std::vector<Row>& rows) {
    rows.push_back(row::Heading{"Copies of this workshop"});
    rows.push_back(row::Note{"Made by itself at every start and every 50 entries, and opened to check it.", Ink::ink, false, true});
    if (!desk.meeting.copy_trouble.empty()) rows.push_back(row::Note{desk.meeting.copy_trouble, Ink::stop});
    rows.push_back(row::Button{"backup", "Make a copy now", "", act::BackUpNow{}, !desk.work && desk.writable});
    std::size_t shown = 0;
    for (const CopyOnDisk& copy : desk.meeting.copies) {
        if (++shown > 6) break;
        const std::string when = words::day(copy.at_ms, desk.utc_offset_min) + " " +
                                 words::clock(copy.at_ms, desk.utc_offset_min);
        const std::string whose = copy.of_other ? " · another device's" : "";
        if (copy.of_damaged)
            rows.push_back(row::Note{when + " · " + entries(copy.entries) + " that could be read of a workshop with damage" + whose, Ink::stop, false, true});
        else if (!copy.good)
            rows.push_back(row::Note{when + " · damaged, not offered", Ink::stop, false, true});
        else
            asking(desk, rows,
                   {fmt::format("copy:{}", shown - 1), "Go back to " + when, entries(copy.entries) + ", checked" + whose,
                    act::RestoreFrom{copy.path, copy.of_other}, !desk.work},
                   {std::string(copy.of_other ? "Another device made this copy; it may be of another workshop. " : "") +
                    "Go back to the copy of " + when + "? What was written since is not in it; the workshop as it "
                    "stands now is kept beside it.", "Go back", "Stay"});
    }
}

// After the first `most` of a list.
void and_more(std::vector<Row>& rows, std::size_t count, std::size_t most) {
    if (count > most) rows.push_back(row::Note{fmt::format("and {} more", count - most), Ink::ink, false, true});
}

// "No. 27 · change · front rebound clicks 12 · 3 May 2026 14:02"
std::string said_in(const Desk& desk, const KeptAside& kept) {
    const Bike* bike = desk.ledger.bike(kept.entry.bike);
    const std::string said = words::said(kept.entry);
    const int offset = desk.utc_offset_min;
    return (bike ? bike->body.name + " · " : "") + words::moment(kept.entry.kind) + (said.empty() ? "" : " · " + said) +
           (kept.at_ms == 0 ? "" : " · " + words::day(kept.at_ms, offset) + " " + words::clock(kept.at_ms, offset).substr(0, 5));
}

void aside_rows(const Desk& desk, std::vector<Row>& rows) {
    const auto& aside = desk.meeting.aside;
    if (aside.empty()) return;
    rows.push_back(row::Heading{"Not in the workshop file"});
    const std::size_t count = aside.entries.size();
    rows.push_back(row::Note{"The disk would not take these. They wait here until they are taken in or thrown away.", Ink::stop});
    for (const KeptAside& kept : aside.entries) rows.push_back(row::Note{said_in(desk, kept), Ink::ink, false, true});
    if (aside.unreadable > 0)
        rows.push_back(row::Note{fmt::format("{} more cannot be read: torn while they were written.", entries(aside.unreadable)), Ink::stop});
    if (count > 0)
        rows.push_back(row::Button{"aside:take", "Take them into the workshop", "", act::TakeAside{}, desk.writable});
    asking(desk, rows, {"aside:drop", "Throw them away", "when they were written down anew", act::ThrowAside{}},
           {fmt::format("Throw {} away?", entries(count + aside.unreadable)), "Throw away", "Keep them"});
}

void file_rows(const Desk& desk, std::vector<Row>& rows) {
    rows.push_back(row::Heading{"Files"});
    rows.push_back(row::Button{"export", "Everything in one file", "for another device, by any way", act::ExportTo{desk.meeting.folder}, !desk.work});
    std::size_t i = 0;
    for (const FoundPlace& place : desk.meeting.places) {
        for (const std::string& path : place.bundles)
            rows.push_back(row::Button{fmt::format("import:{}", i++), "Take in " + words::file_name(path), place.label,
                                       act::ImportFrom{path}, !desk.work});
        for (const std::string& path : place.tables)
            rows.push_back(row::Button{fmt::format("table:{}", i++), "Older readings: " + words::file_name(path),
                                       place.label, act::OpenTable{path}, !desk.work});
    }
}
}  // namespace

SheetView devices_view(const Desk& desk) {
    SheetView sheet = blank_sheet(desk, "Devices and copies");
    const Meeting& m = desk.meeting;
    auto& rows = sheet.slip.rows;
    sheet.slip.title = m.own_name.empty() ? "This device" : "This is " + m.own_name;
    aside_rows(desk, rows);
    if (m.no_workshop)
        rows.push_back(row::Button{"begin_new", "Begin a new workshop", "in place of going back to a copy", act::BeginNew{}, !desk.work});
    rows.push_back(row::Button{"name", m.own_name.empty() ? "Give this device a name" : "Call this device something else", "", act::OpenTag{{.of = Field::Of::device}}});
    rows.push_back(row::Heading{"Where the devices meet"});
    place_rows(desk, rows);
    device_rows(desk, rows);
    copy_rows(desk, rows);
    file_rows(desk, rows);
    if (desk.pad)
        sheet.primary = {"Keep it", act::PadNext{}, ""};
    else if (desk.work)
        sheet.primary = {"Stop", act::CancelWork{}, ""};
    else if (m.folder.empty())
        sheet.primary = no_way("Put and take", "Choose first where the devices meet.");
    else
        sheet.primary = {"Put and take", act::ExchangeNow{}, ""};
    return sheet;
}

SheetView table_view(const Desk& desk) {
    const Bike* bike = desk.ledger.bike(desk.bike);
    const Meeting& m = desk.meeting;
    if (!bike || !m.table) return devices_view(desk);
    SheetView sheet = blank_sheet(desk, words::file_name(m.table_path) + " · older readings of " + bike->body.name);
    auto& rows = sheet.slip.rows;
    sheet.slip.title = "What each column is";
    for (std::size_t i = 0; i < m.columns.size(); ++i) {
        const std::string head = i < m.table->head.size() && !m.table->head[i].empty() ? m.table->head[i]
                                                                                     : fmt::format("column {}", i + 1);
        rows.push_back(row::Button{fmt::format("column:{}", i), head, words::column(m.columns[i]), act::TableColumn{i},
                                   true, m.columns[i].is != ColumnUse::Is::nothing});
    }
    rows.push_back(row::Choice{"days", "1/2 in a day is", {"1 February", "January 2"}, {act::TableDays{}, act::TableDays{}},
                               m.month_first ? 1u : 0u});
    row::Choice of{"of", "readings of", {}, {}, 0};
    for (const Bike* each : desk.ledger.bikes()) {
        if (each->id == bike->id) of.selected = of.options.size();
        of.options.push_back(each->body.name);
        of.taps.push_back(act::TableBike{each->id});
    }
    rows.push_back(std::move(of));
    const auto lines = preview(*m.table, m.columns, words::file_name(m.table_path), m.month_first);
    const auto good = static_cast<std::size_t>(
        std::count_if(lines.begin(), lines.end(), [](const PreviewLine& l) { return l.record.has_value(); }));
    rows.push_back(row::Heading{fmt::format("{} of {} lines can be taken", good, lines.size())});
    std::size_t shown = 0;
    for (const PreviewLine& line : lines) {
        if (++shown > 12) break;
        if (line.record) {
            std::string text = line.record->day;
            for (const SetValue& v : line.record->values)
                text += fmt::format(" · {} {} {}", words::end(v.end), words::label(v.reading.point), words::reading(v.reading));
            rows.push_back(row::Note{fmt::format("{}: {}", line.line, text), Ink::ink, false, true});
        } else if (line.problem) {
            rows.push_back(row::Note{fmt::format("line {}, {}: {}", line.line, line.problem_column,
                                                 words::sentence(*line.problem)), Ink::stop, false, true});
        }
    }
    and_more(rows, lines.size(), 12);
    sheet.primary = good == 0 ? no_way("Take them", "Say which column is the day, and which a reading.")
                              : Primary{good == 1 ? "Take 1 line" : fmt::format("Take {} lines", good), act::TakeTable{}, ""};
    return sheet;
}

}  // namespace restand
