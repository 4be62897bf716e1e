// Two moments side by side: what differs, by how much, and whether the readings can tell. What is the same is
// folded away.

#include <fmt/format.h>

#include <cmath>

#include "app/views/view.h"
#include "app/views/view_parts.h"
#include "app/views/words.h"

namespace restand {

namespace {
Dimension dimension_of(const Difference& d) {
    if (const Point* p = std::get_if<Point>(&d.what)) return facts(*p).dimension;
    const Derived what = std::get<Derived>(d.what);
    return what == Derived::final_drive            ? Dimension::ratio
           : what == Derived::spring_rate_at_wheel ? Dimension::rate
                                                   : Dimension::length;
}

std::string side(const std::optional<Take>& take, const std::optional<double>& value, Unit unit) {
    if (take) return words::shown(take->reading);
    return value ? words::value(*value, unit) : "—";
}

row::TableLine line_of(const Desk& desk, const Difference& d) {
    const Unit unit = chosen(desk.ledger.units(), dimension_of(d));
    const Point* point = std::get_if<Point>(&d.what);
    const std::string label = point ? words::label(*point) : words::label(std::get<Derived>(d.what));
    const std::string sign(symbol(unit));
    return {label + (sign.empty() || dimension_of(d) == Dimension::text ? "" : ", " + sign),
            side(d.was, d.was_value, unit), side(d.is, d.is_value, unit), d.real};
}

// Names are too long for a table's columns.
std::string names_of(const Difference& d) {
    const std::string was = d.was ? words::shown(d.was->reading) : "—", is = d.is ? words::shown(d.is->reading) : "—";
    const std::string label = words::label(std::get<Point>(d.what));
    return d.differs ? fmt::format("{}: {}, was {}", label, is, was) : fmt::format("{}: {}", label, is);
}

// "+3.0 ± 0.4 mm"; how far it can be told.
std::string by_how_much(const Desk& desk, const Difference& d) {
    if (!d.change) return "";
    const Unit unit = chosen(desk.ledger.units(), dimension_of(d));
    std::string text = words::signed_value(*d.change, unit);
    if (d.expanded && *d.expanded > 0) text += " ± " + words::value(*d.expanded, unit);
    text += " " + std::string(symbol(unit));
    if (!d.real) text += ", within what the readings can tell";
    return text;
}

void difference_rows(const Desk& desk, const std::vector<Difference>& list, bool how_much, std::vector<Row>& rows) {
    std::optional<End> end;
    for (const Difference& d : list) {
        if (end != d.end) rows.push_back(row::Heading{words::heading(d.end)});
        end = d.end;
        if (dimension_of(d) == Dimension::text) {
            rows.push_back(row::Note{names_of(d)});
            continue;
        }
        rows.push_back(line_of(desk, d));
        if (const std::string by = how_much ? by_how_much(desk, d) : ""; !by.empty())
            rows.push_back(row::Note{by, Ink::quiet, false, true});
    }
}

// "3 differ · 2 within reading · 4 read on one side only"
std::string how_many(const Comparison& all) {
    std::size_t real = 0, within = 0, one_side = 0;
    for (const Difference& d : all.changed) {
        const bool both = (d.was || d.was_value) && (d.is || d.is_value);
        ++(!both ? one_side : d.real || dimension_of(d) == Dimension::text ? real : within);
    }
    std::string text = real ? fmt::format("{} differ", real) : "Nothing differs";
    if (within) text += fmt::format(" · {} within reading", within);
    if (one_side) text += fmt::format(" · {} read on one side only", one_side);
    return text;
}

std::string name_of(const Desk& desk, const std::optional<Entry>& moment) {
    if (!moment) return "now";
    const std::string day = words::day(moment->clock.ms, desk.utc_offset_min);
    return day.substr(0, day.rfind(' '));  // the year is in the caption
}
}  // namespace

SheetView compare_view(const Desk& desk) {
    if (!desk.season.one) return bikes_view(desk);
    const Entry& one = *desk.season.one;
    const Bike* was_bike = desk.ledger.bike(one.bike);
    const Bike* is_bike = desk.season.other ? desk.ledger.bike(desk.season.other->bike) : was_bike;
    if (!was_bike || !is_bike) return bikes_view(desk);
    const SetUp was = setup_then(desk, one);
    const SetUp is = desk.season.other ? setup_then(desk, *desk.season.other) : setup_now(desk, is_bike->id);
    const Comparison all = compare(was, &was_bike->body, is, &is_bike->body);

    const std::string then = name_of(desk, one), now = name_of(desk, desk.season.other);
    SheetView sheet = blank_sheet(desk, was_bike == is_bike
                                            ? was_bike->body.name + " · compare"
                                            : was_bike->body.name + " and " + is_bike->body.name);
    draw_setup(*is_bike, is, sheet, &was);
    sheet.drawing.caption = fmt::format("black: {} · blue: {}", desk.season.other ? words::day(desk.season.other->clock.ms, desk.utc_offset_min) : "now",
                                        words::day(one.clock.ms, desk.utc_offset_min));
    auto& rows = sheet.slip.rows;
    sheet.slip.title = how_many(all);
    rows.push_back(row::TableHead{then, now});
    difference_rows(desk, all.changed, true, rows);
    if (!all.same.empty()) {
        const bool shown = desk.season.same_shown;
        rows.push_back(row::Button{"same", fmt::format("{} the same", all.same.size()), shown ? "fold away" : "show",
                                   act::ShowSame{!shown}});
        if (shown) difference_rows(desk, all.same, false, rows);
    }
    if (was_bike == is_bike)
        sheet.primary = {"Way back to " + then, act::ShowWay{was_bike->id, one.id}, ""};
    else
        sheet.primary = {"To the season", act::Back{}, ""};
    return sheet;
}

}  // namespace restand
