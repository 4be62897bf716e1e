#include "app/season/compare_view.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "app/workshop/bikes_view.h"
#include "core/codec/body_json.h"
#include "core/ledger/change_effect.h"
#include "core/ledger/chassis.h"
#include "core/ledger/described.h"

namespace restand {

namespace {
Dimension difference_dimension(const Difference& d) {
    if (const Point* p = std::get_if<Point>(&d.what)) return facts(*p).dimension;
    const Derived what = std::get<Derived>(d.what);
    return what == Derived::final_drive            ? Dimension::ratio
           : what == Derived::spring_rate_at_wheel ? Dimension::rate
                                                   : Dimension::length;
}

std::string side_text(const std::optional<StoredReading>& stored, const std::optional<double>& value,
                      Unit unit) {
    if (stored) return wording::shown_in(stored->reading, unit);
    return value ? wording::value(*value, unit) : "—";
}

// Names of parts: too long for columns.
std::string part_names(const Difference& d) {
    const std::string was = d.was ? wording::shown(d.was->reading) : "—",
                      is = d.is ? wording::shown(d.is->reading) : "—";
    const std::string label = wording::label(std::get<Point>(d.what));
    return d.differs ? fmt::format("{}: {}, was {}", label, is, was) : fmt::format("{}: {}", label, is);
}

// "+3.0 ± 0.4"; ": no" behind it where the uncertainty does not allow to tell.
std::string by_how_much(const AppState& state, const Difference& d) {
    if (!d.change) return "";
    const Unit unit = chosen(state.ledger.units(), difference_dimension(d));
    const bool known = d.expanded && *d.expanded > 0;
    const std::string change =
        wording::signed_value(*d.change, unit) + (known ? " ± " + wording::value(*d.expanded, unit) : "");
    if (d.real) return change;
    return change + (known ? ": no" : " no");
}

PageTable::Line difference_line(const AppState& state, const Difference& d) {
    using Kind = PageTable::Line::Kind;
    const Unit unit = chosen(state.ledger.units(), difference_dimension(d));
    const Point* point = std::get_if<Point>(&d.what);
    const std::string label =
        point ? wording::short_label(*point) : wording::label(std::get<Derived>(d.what));
    const std::string sign(symbol(unit));
    return {.cells = {label + (sign.empty() ? "" : ", " + sign), side_text(d.was, d.was_value, unit),
                      side_text(d.is, d.is_value, unit), by_how_much(state, d)},
            .kind = d.real     ? Kind::changed
                    : d.change ? Kind::quiet
                               : Kind::plain};
}

// True if both sides were read and the readings cannot tell them apart.
bool is_within(const Difference& d) {
    const bool both = (d.was || d.was_value) && (d.is || d.is_value);
    return both && !d.real && difference_dimension(d) != Dimension::text;
}

PageTable::Line section(std::string heading) {
    return {.cells = {std::move(heading)}, .kind = PageTable::Line::Kind::section};
}

void difference_lines(const AppState& state, const std::vector<Difference>& list, bool all,
                      std::vector<PageTable::Line>& lines) {
    std::optional<End> end;
    for (const Difference& d : list) {
        if (!all && is_within(d)) continue;
        if (end != d.end) lines.push_back(section(wording::heading(d.end)));
        end = d.end;
        if (difference_dimension(d) == Dimension::text)
            lines.push_back(
                {.cells = {part_names(d)},
                 .kind = d.differs ? PageTable::Line::Kind::changed : PageTable::Line::Kind::note});
        else
            lines.push_back(difference_line(state, d));
    }
}

// "3 differ · 2 within reading · 4 read on one side only"
std::string how_many(const Comparison& all, std::size_t within) {
    std::size_t real = 0, one_side = 0;
    for (const Difference& d : all.changed)
        if (!is_within(d)) ++(d.real || difference_dimension(d) == Dimension::text ? real : one_side);
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
void effect_lines(const AppState& state, const Bike& bike, const SetUp& was, const SetUp& is,
                  std::vector<PageTable::Line>& lines) {
    const SetUp described = setup_described(state.ledger, bike.id).value_or(was);
    bool any = false;
    for (const ChangeEffect& change : change_effects(bike.body, was, is, described)) {
        const std::string effect = effect_of(state, change);
        if (effect.empty()) continue;
        if (!std::exchange(any, true)) lines.push_back(section("What each change does, by itself"));
        lines.push_back({.cells = {fmt::format("{} {}: {}", wording::heading(change.end),
                                               wording::change_of(change.of), effect)},
                         .kind = PageTable::Line::Kind::note});
    }
}

// What the rider said on the days between, oldest first.
void words_lines(const AppState& state, const Clock& from, const std::optional<Entry>& to,
                 std::vector<PageTable::Line>& lines) {
    bool any = false;
    for (auto it = state.season.moments.rbegin(); it != state.season.moments.rend(); ++it) {
        if (it->kind != "event" || it->clock < from || (to && to->clock < it->clock)) continue;
        const auto body = body_from_json(it->kind, it->body);
        const auto* event = body ? std::get_if<EventBody>(&*body) : nullptr;
        if (!event || event->words.empty()) continue;
        if (!std::exchange(any, true)) lines.push_back(section("What the rider said"));
        lines.push_back(
            {.cells = {fmt::format("{}, {}: {}", wording::day(it->clock.ms, state.utc_offset_min),
                                   event->session.empty() ? event->circuit : event->session, event->words)},
             .kind = PageTable::Line::Kind::note});
    }
}

std::string moment_name(const AppState& state, const std::optional<Entry>& moment) {
    if (!moment) return "now";
    return wording::short_day(moment->clock.ms, state.now_ms, state.utc_offset_min);
}
}  // namespace

PageView compare_view(const AppState& state) {
    if (!state.season.one) return bikes_view(state);
    const Entry& one = *state.season.one;
    const Bike* was_bike = state.ledger.bike(one.bike);
    const Bike* is_bike = state.season.other ? state.ledger.bike(state.season.other->bike) : was_bike;
    if (!was_bike || !is_bike) return bikes_view(state);
    const SetUp was = as_it_stands(was_bike->body, setup_then(state.ledger, one));
    const SetUp is = state.season.other
                         ? as_it_stands(is_bike->body, setup_then(state.ledger, *state.season.other))
                         : expected_now(state.ledger, *is_bike);
    const Comparison all = compare(was, &was_bike->body, is, &is_bike->body);

    const std::string then = moment_name(state, one), now = moment_name(state, state.season.other);
    PageView page =
        blank_page(state, was_bike == is_bike ? was_bike->body.name + " · compare"
                                              : was_bike->body.name + " and " + is_bike->body.name);
    PageTable table;
    table.columns = {
        {""}, {then, true, Ink::baseline}, {now, true, Ink::ink, true}, {"change", false, Ink::quiet}};
    table.sections_beside = true;
    const bool shown = state.season.same_shown;
    const auto within =
        static_cast<std::size_t>(std::count_if(all.changed.begin(), all.changed.end(), is_within));
    table.keys = {
        {"differ", "what differs", act::ShowSame{false}, !shown},
        {"same", fmt::format("all {}", all.changed.size() + all.same.size()), act::ShowSame{true}, shown}};
    difference_lines(state, all.changed, shown, table.lines);
    if (was_bike == is_bike) {
        effect_lines(state, *is_bike, was, is, table.lines);
        words_lines(state, one.clock, state.season.other, table.lines);
    }
    if (shown && !all.same.empty()) {
        table.lines.push_back(section("The same"));
        difference_lines(state, all.same, true, table.lines);
    }
    table.foot = how_many(all, within) +
                 (all.same.empty() ? "" : fmt::format(" · {} the same", all.same.size())) +
                 (shown ? "" : "; what is the same or within reading is folded away");
    page.table = std::move(table);
    if (was_bike == is_bike)
        page.primary = {"Way back to " + then, act::ShowPlan{was_bike->id, one.id}, ""};
    else
        page.primary = {"To the season", act::Back{}, ""};
    return page;
}

}  // namespace restand
