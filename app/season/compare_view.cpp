// Two moments side by side: what differs, by how much, and whether the uncertainty allows to tell. Equal
// values are folded away.

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cmath>

#include "app/views/view.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "core/codec/body_json.h"
#include "core/ledger/change_effect.h"

namespace restand {

namespace {
Dimension dimension_of(const Difference& d) {
    if (const Point* p = std::get_if<Point>(&d.what)) return facts(*p).dimension;
    const Derived what = std::get<Derived>(d.what);
    return what == Derived::final_drive            ? Dimension::ratio
           : what == Derived::spring_rate_at_wheel ? Dimension::rate
                                                   : Dimension::length;
}

// As typed, unless that was in another unit than the line's.
std::string side(const std::optional<StoredReading>& stored, const std::optional<double>& value, Unit unit) {
    if (stored && (is_text(stored->reading.point) || stored->reading.repeats.back().unit == unit))
        return wording::shown(stored->reading);
    if (stored) return wording::value(measured(stored->reading).value, unit);
    return value ? wording::value(*value, unit) : "—";
}

row::TableLine line_of(const AppState& state, const Difference& d) {
    const Unit unit = chosen(state.ledger.units(), dimension_of(d));
    const Point* point = std::get_if<Point>(&d.what);
    const std::string label = point ? wording::label(*point) : wording::label(std::get<Derived>(d.what));
    const std::string sign(symbol(unit));
    return {label + (sign.empty() || dimension_of(d) == Dimension::text ? "" : ", " + sign),
            side(d.was, d.was_value, unit), side(d.is, d.is_value, unit), d.real};
}

// Names for the table; the full names are too long for its columns.
std::string names_of(const Difference& d) {
    const std::string was = d.was ? wording::shown(d.was->reading) : "—",
                      is = d.is ? wording::shown(d.is->reading) : "—";
    const std::string label = wording::label(std::get<Point>(d.what));
    return d.differs ? fmt::format("{}: {}, was {}", label, is, was) : fmt::format("{}: {}", label, is);
}

// "+3.0 ± 0.4 mm", and whether the uncertainty allows to tell.
std::string by_how_much(const AppState& state, const Difference& d) {
    if (!d.change) return "";
    const Unit unit = chosen(state.ledger.units(), dimension_of(d));
    std::string text = wording::signed_value(*d.change, unit);
    if (d.expanded && *d.expanded > 0) text += " ± " + wording::value(*d.expanded, unit);
    text += " " + std::string(symbol(unit));
    if (!d.real) text += ", within what the readings can tell";
    return text;
}

void difference_rows(const AppState& state, const std::vector<Difference>& list, bool how_much,
                     std::vector<Row>& rows) {
    std::optional<End> end;
    for (const Difference& d : list) {
        if (end != d.end) rows.push_back(row::Heading{wording::heading(d.end)});
        end = d.end;
        if (dimension_of(d) == Dimension::text) {
            rows.push_back(row::Note{names_of(d)});
            continue;
        }
        rows.push_back(line_of(state, d));
        if (const std::string by = how_much ? by_how_much(state, d) : ""; !by.empty())
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

// "rider +2.1 mm, static +1.8 mm, rake -0.07°, trail -0.4 mm"
std::string effect_of(const AppState& state, const ChangeEffect& change) {
    const Unit unit = state.ledger.units().length;
    std::vector<std::string> parts;
    const auto length = [&](const char* name, const std::optional<Length>& by) {
        if (by && std::fabs(in_mm(*by)) >= 0.05)
            parts.push_back(
                fmt::format("{} {} {}", name, wording::signed_value(by->value, unit), symbol(unit)));
    };
    const auto angle = [&](const char* name, const std::optional<Angle>& by) {
        if (by && std::fabs(in_degrees(*by)) >= 0.005)
            parts.push_back(fmt::format("{} {}{:.2f}°", name, in_degrees(*by) < 0 ? "−" : "+",
                                        std::fabs(in_degrees(*by))));
    };
    length("rider", change.stance.rider);
    length("static", change.stance.static_);
    length("topped out", change.stance.topped_out);
    angle("rake", change.rake);
    length("trail", change.trail);
    angle("arm", change.arm);
    return fmt::format("{}", fmt::join(parts, ", "));
}

// One line a change: what it does to the bike by itself.
void effect_rows(const AppState& state, const Bike& bike, const SetUp& was, const SetUp& is,
                 std::vector<Row>& rows) {
    const SetUp described = setup_described(state.ledger, bike.id).value_or(was);
    bool any = false;
    for (const ChangeEffect& change : change_effects(bike.body, was, is, described)) {
        const std::string effect = effect_of(state, change);
        if (effect.empty()) continue;
        if (!any) rows.push_back(row::Heading{"What each change does, by itself"});
        any = true;
        rows.push_back(row::Note{
            fmt::format("{} {}: {}", wording::heading(change.end), wording::change_of(change.of), effect)});
    }
}

// What the rider said on the days between, oldest first.
void words_rows(const AppState& state, const Clock& from, const std::optional<Entry>& to,
                std::vector<Row>& rows) {
    bool any = false;
    for (auto it = state.season.moments.rbegin(); it != state.season.moments.rend(); ++it) {
        if (it->kind != "event" || it->clock < from || (to && to->clock < it->clock)) continue;
        const auto body = body_from_json(it->kind, it->body);
        const auto* event = body ? std::get_if<EventBody>(&*body) : nullptr;
        if (!event || event->words.empty()) continue;
        if (!any) rows.push_back(row::Heading{"What the rider said"});
        any = true;
        rows.push_back(
            row::Note{fmt::format("{}, {}: {}", wording::day(it->clock.ms, state.utc_offset_min),
                                  event->session.empty() ? event->circuit : event->session, event->words)});
    }
}

std::string name_of(const AppState& state, const std::optional<Entry>& moment) {
    if (!moment) return "now";
    const std::string day = wording::day(moment->clock.ms, state.utc_offset_min);
    return day.substr(0, day.rfind(' '));  // the year is in the caption
}
}  // namespace

PageView compare_view(const AppState& state) {
    if (!state.season.one) return bikes_view(state);
    const Entry& one = *state.season.one;
    const Bike* was_bike = state.ledger.bike(one.bike);
    const Bike* is_bike = state.season.other ? state.ledger.bike(state.season.other->bike) : was_bike;
    if (!was_bike || !is_bike) return bikes_view(state);
    const SetUp was = setup_then(state, one);
    const SetUp is =
        state.season.other ? setup_then(state, *state.season.other) : setup_now(state, is_bike->id);
    const Comparison all = compare(was, &was_bike->body, is, &is_bike->body);

    const std::string then = name_of(state, one), now = name_of(state, state.season.other);
    PageView page =
        blank_page(state, was_bike == is_bike ? was_bike->body.name + " · compare"
                                              : was_bike->body.name + " and " + is_bike->body.name);
    draw_setup(*is_bike, is, page, &was);
    page.drawing.caption = fmt::format(
        "black: {} · blue: {}",
        state.season.other ? wording::day(state.season.other->clock.ms, state.utc_offset_min) : "now",
        wording::day(one.clock.ms, state.utc_offset_min));
    auto& rows = page.panel.rows;
    page.panel.title = how_many(all);
    if (was_bike == is_bike) {
        effect_rows(state, *is_bike, was, is, rows);
        words_rows(state, one.clock, state.season.other, rows);
    }
    rows.push_back(row::TableHead{then, now});
    difference_rows(state, all.changed, true, rows);
    if (!all.same.empty()) {
        const bool shown = state.season.same_shown;
        rows.push_back(row::Button{"same", fmt::format("{} the same", all.same.size()),
                                   shown ? "fold away" : "show", act::ShowSame{!shown}});
        if (shown) difference_rows(state, all.same, false, rows);
    }
    if (was_bike == is_bike)
        page.primary = {"Way back to " + then, act::ShowPlan{was_bike->id, one.id}, ""};
    else
        page.primary = {"To the season", act::Back{}, ""};
    return page;
}

}  // namespace restand
