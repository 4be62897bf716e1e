#include "app/print/sheet_of.h"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

#include "app/print/sheet_parts.h"
#include "app/views/point_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"

namespace restand {
namespace paper {
namespace {

// Which table of the sheet a value belongs to.
enum class Part { rear, front, chain, dampers };
Part part_of(const BaselineValue& v) {
    switch (group_of(v.stored.reading.point)) {
        case Group::dampers:
            return Part::dampers;
        case Group::chain:
            return Part::chain;
        default:
            return v.end == End::rear ? Part::rear : Part::front;
    }
}

const char* title_of(Part part) {
    switch (part) {
        case Part::rear:
            return "Rear";
        case Part::front:
            return "Front";
        case Part::chain:
            return "Chain and tyres";
        case Part::dampers:
            return "Dampers";
    }
    return "";
}

// Under its note a name can be short; in a table of both ends the end is said where it is not plain.
std::string label_in(Part part, End end, Point point) {
    if (point == Point::length_mm_per_turn) return wording::label(point);
    if (part == Part::dampers) {
        // "compression, low speed": the last word says nothing that the first two do not.
        const std::string label = wording::label(point);
        return label.ends_with(" speed") ? label.substr(0, label.size() - 6) : label;
    }
    if (part != Part::chain) return wording::short_label(point);
    const std::string of = end == End::rear ? "rear " : "front ";
    switch (point) {
        case Point::tyre:
        case Point::tyre_pressure_cold:
        case Point::tyre_pressure_hot:
            return of + wording::short_label(point);
        case Point::axle_position:
            return wording::short_label(point);
        default:
            return wording::label(point);
    }
}

// A note applies to its line and all below it up to the next note: which part, how it was read or counted.
std::string note_of(Part part, const BaselineValue& v) {
    const std::string& where = v.stored.reading.where;
    std::string head;
    if (part == Part::dampers) head = v.end == End::rear ? "Rear, clicks" : "Front, clicks";
    if (part == Part::rear || part == Part::front) head = group_name(group_of(v.stored.reading.point), v.end);
    return head + (head.empty() || where.empty() ? "" : ": ") + where;
}

// In working order: by group, in it first the part's name, then what needs no note, then note by note.
std::vector<const BaselineValue*> sorted(const Baseline& baseline, Part part) {
    std::vector<const BaselineValue*> values;
    for (const BaselineValue& v : baseline.body.values)
        if (part_of(v) == part && !v.stored.reading.repeats.empty()) values.push_back(&v);
    const auto rank = [&](const BaselineValue* v) {
        const Reading& r = v->stored.reading;
        const bool by_end = part == Part::dampers && v->end == End::front;
        return std::tuple(by_end, static_cast<int>(group_of(r.point)), r.point != Point::part_name,
                          !r.where.empty());
    };
    std::stable_sort(values.begin(), values.end(),
                     [&](const auto* x, const auto* y) { return rank(x) < rank(y); });
    return values;
}

PaperTable table_of(const Baseline& baseline, Part part) {
    PaperTable table{title_of(part), {"", "value", "", "±"}, {}, true, false};
    std::string note;
    for (const BaselineValue* v : sorted(baseline, part)) {
        if (std::string next = note_of(part, *v); next != note) {
            note = std::move(next);
            if (!note.empty()) table.lines.push_back({note});
        }
        table.lines.push_back(value_line(label_in(part, v->end, v->stored.reading.point), v->stored.reading));
    }
    return table;
}

std::map<Place, StoredReading> values_of(const Baseline& baseline) {
    std::map<Place, StoredReading> values;
    for (const BaselineValue& v : baseline.body.values) values[{v.end, v.stored.reading.point}] = v.stored;
    return values;
}

}  // namespace
}  // namespace paper

SheetPage sheet_of_baseline(const Ledger& ledger, const Baseline& baseline, std::int64_t now_ms,
                            int utc_offset_min) {
    using namespace paper;
    SheetPage page;
    const Bike* bike = ledger.bike(baseline.bike);
    page.title = bike ? bike->body.name : "A bike";
    page.title += " · baseline of " + wording::day(baseline.clock.ms, utc_offset_min);
    page.subtitle = baseline.body.reason;
    page.subtitle +=
        (page.subtitle.empty() ? "Kept by " : " Kept by ") + person_name(ledger, baseline.by) + ".";
    for (const Part part : {Part::rear, Part::chain, Part::front, Part::dampers})
        if (PaperTable table = table_of(baseline, part); !table.lines.empty())
            page.tables.push_back(std::move(table));
    draw_bike(bike ? bike->body : BikeBody{}, values_of(baseline), page);
    page.cautions = cautions();
    page.foot = made("baseline", baseline.id, now_ms, utc_offset_min);
    page.made_ms = now_ms;
    return page;
}

}  // namespace restand
