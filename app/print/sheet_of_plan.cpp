// The printed restore plan: actions with direction, amount and target; then what to measure.

#include <fmt/format.h>

#include <cmath>

#include "app/print/sheet_parts.h"
#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "core/ledger/chassis.h"

namespace restand {
namespace paper {
namespace {

// Difference from current to target value, canonical; nullopt where one of them is no number.
std::optional<double> way_to_go(const PlanAction& a) {
    if (!a.to || !a.from || a.from->reading.repeats.empty() || is_text(a.point)) return std::nullopt;
    return canonical_value(*a.to) - measured(a.from->reading).value;
}

// "tubes up 1.5 mm": a direction in words, for a sign is misread under a bike.
std::string moved(const PlanAction& a, const char* more, const char* less, const char* otherwise) {
    const auto by = way_to_go(a);
    if (!by || !a.to) return otherwise;
    const std::string distance = wording::value(std::fabs(*by), a.to->unit);
    if (distance.find_first_of("123456789") == std::string::npos) return "check";
    return fmt::format("{} {} {}", *by > 0 ? more : less, distance, symbol(a.to->unit));
}

std::string how(const PlanAction& a) {
    switch (a.doing) {
        case Doing::fit:
            if (a.links && *a.links != 0)
                return wording::counted(*a.links, "link", "links", *a.links > 0 ? "more" : "out");
            return "fit";
        case Doing::set_length:
            return a.turns ? wording::turns(*a.turns, "out", "in") : moved(a, "longer", "shorter", "set");
        case Doing::set_preload:
            return a.turns ? wording::turns(*a.turns, "in", "out") : moved(a, "out", "in", "set");
        case Doing::set_position:
            return moved(a, "tubes up", "tubes down", "set");
        case Doing::set_axle:
            return moved(a, "back", "forward", "set");
        case Doing::set_slack:
            return moved(a, "looser", "tighter", "set");
        case Doing::set_clicks:
            return a.clicks ? wording::counted(*a.clicks, "click", "clicks", *a.clicks > 0 ? "out" : "in")
                            : "set";
        case Doing::set_pressure:
            return moved(a, "add", "let out", "set");
        case Doing::measure:
            break;
    }
    return "";
}

// The chain runs along one side of the whole bike: only what both ends have is called by its end.
std::string what(const PlanAction& a) {
    const std::string end = a.end == End::rear ? "Rear: " : "Front: ";
    if (a.doing == Doing::set_preload) return end + "spring collar";
    if (a.doing == Doing::set_length) return end + "length adjuster";
    if (a.point == Point::part_name) return end + (a.end == End::rear ? "shock" : "fork");
    std::string label = wording::label(a.point);
    const bool both = group_of(a.point) != Group::chain || a.point == Point::tyre ||
                      a.point == Point::tyre_pressure_cold || a.point == Point::tyre_pressure_hot;
    if (both) return end + label;
    label.front() =
        static_cast<char>(label.front() >= 'a' && label.front() <= 'z' ? label.front() - 32 : label.front());
    return label;
}

std::string goal(const PlanAction& a) {
    if (!a.to) return "";
    if (is_text(a.point)) return a.to->text;
    const std::string unit(symbol(a.to->unit));
    return wording::typed_number(*a.to) + (unit.empty() ? "" : " " + unit) + (a.solved ? " *" : "");
}

// As it is now; what a setting has moved since it was read as it is expected.
std::string as_it_is(const PlanAction& a, const SetUp& stands) {
    const StoredReading* is = a.from ? &*a.from : stands.stored(a.end, a.point);
    if (!is || is->reading.repeats.empty()) return "not known";
    return (is_computed(is->reading) ? "≈ " : "") + wording::reading(is->reading);
}

void add_actions(const PlanActions& plan, const SetUp& stands, SheetPage& page) {
    PaperTable todo{"To do, in this order", {"", "", "to", "now"}, {}, false, true, true};
    bool solved = false;
    for (const PlanAction& a : plan.actions) {
        if (a.doing == Doing::measure) continue;
        todo.lines.push_back({what(a), how(a), goal(a), as_it_is(a, stands)});
        solved = solved || a.solved;
    }
    if (todo.lines.empty()) return;
    if (solved) todo.lines.push_back({"* computed so that it stands as then: another part is fitted"});
    page.tables.push_back(std::move(todo));
}

void add_checks(const Ledger& ledger, const PlanActions& plan, SheetPage& page) {
    PaperTable check{"Then measure", {"", "must read", ""}, {}, true, true};
    for (const PlanAction& a : plan.actions) {
        if (a.doing != Doing::measure) continue;
        const Unit unit = chosen(ledger.units(), facts(a.point).dimension);
        check.lines.push_back(
            {what(a), a.expect ? wording::value(*a.expect, unit) : "–", std::string(symbol(unit))});
    }
    if (!check.lines.empty()) page.tables.push_back(std::move(check));
}

// Obstacles, and what the plan cannot state.
void add_trouble(const Ledger& ledger, const PlanActions& plan, SheetPage& page) {
    PaperTable trouble{"Not as then", {"", ""}, {}, false, false};
    for (const EndLimit& l : plan.limits) trouble.lines.push_back({wording::limit(l, ledger.units()), ""});
    for (const Error& e : plan.unsaid) trouble.lines.push_back({wording::sentence(e), ""});
    for (const LeftOut& l : plan.left_out) trouble.lines.push_back({wording::left_out(l), ""});
    if (!trouble.lines.empty()) page.tables.insert(page.tables.begin(), std::move(trouble));
}

}  // namespace
}  // namespace paper

SheetPage sheet_of_plan(const Ledger& ledger, const Bike& bike, const PlanActions& plan, const SetUp& now,
                        const SetUp& target, std::int64_t now_ms, int utc_offset_min) {
    using namespace paper;
    SheetPage page;
    page.title = bike.body.name + " · back to " + wording::day(target.at.ms, utc_offset_min);
    const std::string from =
        now.at.ms > 0 ? " From the bike as of " + wording::day(now.at.ms, utc_offset_min) + "." : "";
    page.subtitle = !plan.held             ? "With the parts now fitted it cannot stand quite as then." + from
                    : plan.actions.empty() ? "It stands as then: nothing to do."
                                           : "Afterwards it stands as then." + from;
    add_actions(plan, expected_now(ledger, bike, now), page);
    add_checks(ledger, plan, page);
    add_trouble(ledger, plan, page);
    draw_bike(bike.body, target.values, page);
    page.cautions = cautions();
    page.foot = made("way back to", target.baseline, now_ms, utc_offset_min);
    page.made_ms = now_ms;
    return page;
}

}  // namespace restand
