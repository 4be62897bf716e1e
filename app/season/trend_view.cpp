#include "app/season/trend_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/season/part_actions.h"
#include "app/views/plot.h"
#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/sorting.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "app/workshop/bikes_view.h"

namespace restand {

namespace {
constexpr double day_ms = 86'400'000.0;

struct Choice {
    Watched what;
    End end;
    Point point;
};
constexpr Choice choices[] = {
    {Watched::rider_sag, End::rear, Point::spring_free_length},
    {Watched::rider_sag, End::front, Point::spring_free_length},
    {Watched::free_sag, End::rear, Point::spring_free_length},
    {Watched::point, End::rear, Point::spring_free_length},
    {Watched::point, End::front, Point::spring_free_length},
    {Watched::preload, End::rear, Point::spring_free_length},
    {Watched::point, End::rear, Point::ride_height_rider},
    {Watched::point, End::rear, Point::chain_slack},
    {Watched::chain_elongation, End::rear, Point::chain_gauge_length},
    {Watched::stiction, End::rear, Point::ride_height_lifted},
    {Watched::stiction, End::front, Point::ride_height_lifted},
};

Unit unit_of(const AppState& state, Watched what, Point point) {
    if (what == Watched::chain_elongation) return Unit::one;
    return chosen(state.ledger.units(), what == Watched::point ? facts(point).dimension : Dimension::length);
}

// In the unit on the screen: elongation in percent, the rest in the workshop's units.
double in_shown_unit(const AppState& state, double canonical) {
    const Season& s = state.season;
    return s.what == Watched::chain_elongation ? 100 * canonical
                                               : from_canonical(canonical, unit_of(state, s.what, s.point));
}
std::string sign(const AppState& state) {
    const Season& s = state.season;
    return s.what == Watched::chain_elongation ? "%" : std::string(symbol(unit_of(state, s.what, s.point)));
}

std::string day_text(double days) {
    const std::string all = wording::day(static_cast<std::int64_t>(days * day_ms), 0);
    return all.substr(0, all.rfind(' '));  // the year is in the caption
}

std::optional<double> limit_of(const AppState& state, const Bike& bike) {
    if (state.season.what == Watched::chain_elongation)
        return bike.body.chain_limit_percent ? std::optional(*bike.body.chain_limit_percent / 100)
                                             : std::nullopt;
    return std::nullopt;
}

void forecast_rows(const AppState& state, std::optional<double> limit, std::vector<Row>& rows) {
    const auto& samples = state.season.samples;
    if (samples.empty()) return;
    const Sample& last = samples.back();
    rows.push_back(row::Big{.id = "latest",
                            .label = "latest",
                            .value = fmt::format("{:.{}f}", in_shown_unit(state, last.value),
                                                 state.season.what == Watched::chain_elongation ? 2 : 1),
                            .unit = sign(state),
                            .action = {},
                            .from = wording::day(last.at_ms, state.utc_offset_min),
                            .note = fmt::format("± {:.2f}", in_shown_unit(state, last.expanded)),
                            .ink = Ink::ink});
    const Forecast f = forecast(samples, limit.value_or(0), state.now_ms);
    if (f.per_day_expanded > 0)
        rows.push_back(
            row::Note{fmt::format("{:+.2f} ± {:.2f} {} in 30 days", in_shown_unit(state, 30 * f.per_day),
                                  std::fabs(in_shown_unit(state, 30 * f.per_day_expanded)), sign(state))});
    if (!limit) return;
    rows.push_back(row::Heading{fmt::format("Limit {:.1f} {}", in_shown_unit(state, *limit), sign(state))});
    if (f.meets_ms) {
        std::string when = "Meets it about " + wording::day(*f.meets_ms, state.utc_offset_min);
        if (f.earliest_ms) when += ", not before " + wording::day(*f.earliest_ms, state.utc_offset_min);
        rows.push_back(row::Note{when + ".", Ink::now, true});
    } else {
        rows.push_back(row::Note{f.why_not == "few"     ? "Three readings are needed to say when."
                                 : f.why_not == "level" ? "These readings show no wear yet."
                                                        : "It moves away from its limit."});
    }
}
}  // namespace

PageView trend_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return bikes_view(state);
    const Season& s = state.season;
    PageView page = blank_page(state, bike->body.name + " · trends");
    const std::string name = wording::label(s.what, s.point) + ", " + wording::end(s.end);
    const auto limit = limit_of(state, *bike);

    std::vector<PlotPoint> points;
    for (const Sample& p : s.samples)
        points.push_back({static_cast<double>(p.at_ms) / day_ms, in_shown_unit(state, p.value),
                          in_shown_unit(state, p.expanded), p.same_setting});
    std::vector<PlotBand> band;
    if (points.size() >= 3) {
        const double from = points.front().x,
                     to = points.back().x + 0.15 * (points.back().x - points.front().x);
        for (int i = 0; i <= 24; ++i) {
            const double x = from + (to - from) * i / 24;
            if (const auto at = band_at(s.samples, static_cast<std::int64_t>(x * day_ms)))
                band.push_back({x, in_shown_unit(state, at->first), in_shown_unit(state, at->second)});
        }
    }
    Plot of{.y_name = name + ", " + sign(state),
            .points = points,
            .band = band,
            .limit = {},
            .limit_name = "limit",
            .least_span = s.what == Watched::chain_elongation ? 0.5 : 4,
            .x_text = day_text};
    if (limit) of.limit = in_shown_unit(state, *limit);
    page.drawing = plot(of);
    page.wide_drawing = true;
    auto& rows = page.panel.rows;
    page.panel.title = name;
    if (!s.watched)
        rows.push_back(row::Note{"Looking through the season …"});
    else if (s.samples.empty())
        rows.push_back(row::Note{"Never read on this bike. Once it is, each reading is a point here."});
    else
        page.drawing.caption =
            fmt::format("{} readings · {} to {}{}", s.samples.size(),
                        wording::day(s.samples.front().at_ms, state.utc_offset_min),
                        wording::day(s.samples.back().at_ms, state.utc_offset_min),
                        band.empty() ? "" : " · band: where the next one is expected, 95 %");
    forecast_rows(state, limit, rows);
    if (s.what == Watched::chain_elongation && !limit)
        rows.push_back(
            row::Button{"limit", "Set its limit", "with the bike's numbers", act::EditBike{bike->id}});
    rows.push_back(row::Heading{"Look at"});
    for (const Choice& c : choices)
        rows.push_back(row::Button{
            fmt::format("watch:{}:{}:{}", key(c.what), wording::end(c.end), facts(c.point).key),
            wording::label(c.what, c.point) + ", " + wording::end(c.end), "",
            act::ShowTrend{bike->id, c.what, c.end, c.point}, true,
            c.what == s.what && c.end == s.end && (c.what != Watched::point || c.point == s.point)});
    page.primary = {"To the bike", act::Go{Screen::bike, bike->id}, ""};
    return page;
}

namespace {
std::string use_text(const PartUse& use) {
    std::string text;
    if (use.km > 0 || use.limit_km) text = fmt::format("{:.0f} km", use.km);
    if (use.limit_km) text += fmt::format(" of {:.0f}", *use.limit_km);
    if (use.hours > 0 || use.limit_h) text += fmt::format("{}{:.1f} h", text.empty() ? "" : " · ", use.hours);
    if (use.limit_h) text += fmt::format(" of {:.0f}", *use.limit_h);
    return text.empty() ? "nothing run yet" : text;
}

PageView part_form(const AppState& state, PageView page) {
    const PartForm& form = *state.season.part;
    page.panel.title = form.part.nil() ? "A part to watch" : form.body.name;
    using enum PartField;
    for (const PartField field : {name, limit_km, limit_h, used_km, used_h}) {
        const Field f{.of = Field::Of::part, .part = field};
        page.panel.rows.push_back(
            form_row(state, f, wording::label(field), standing_season_text(state, f), field != name));
    }
    if (!form.part.nil()) {
        page.panel.rows.push_back(
            row::Button{"serviced", "Serviced today", "counts from nothing again", act::Serviced{form.part}});
        page.panel.rows.push_back(row::Button{"gone", "No longer on the bike", "", act::PartGone{form.part}});
        for (const Bike* other : state.ledger.bikes())
            if (other->id != form.bike)
                page.panel.rows.push_back(
                    row::Button{"move:" + to_text(other->id), "It goes on with " + other->body.name,
                                "with what it has run", act::MovePart{form.part, other->id}});
    }
    page.panel.rows.push_back(
        row::Note{"Service limits are the maker's; Restand only counts.", Ink::ink, false, true});
    page.primary =
        state.pad ? Primary{"Next", act::PadNext{}, ""} : Primary{"Save this part", act::SavePart{}, ""};
    return page;
}
}  // namespace

PageView parts_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return bikes_view(state);
    PageView page = blank_page(state, bike->body.name + " · service");
    if (state.season.part) return part_form(state, std::move(page));
    using Kind = PageTable::Line::Kind;
    PageTable table;
    table.columns = {{"part", false, Ink::ink, true}, {"has run"}, {"of its limit", true, Ink::ink, true}};
    for (const PartUse& use : state.season.parts)
        table.lines.push_back({.id = "part:" + to_text(use.part),
                               .cells = {use.name, use_text(use),
                                         use.share > 0 ? fmt::format("{:.0f} %", 100 * use.share) : ""},
                               .tap = act::StartPart{bike->id, use.part},
                               .kind = use.share > 0.9 ? Kind::changed : Kind::plain});
    if (state.season.parts.empty())
        table.lines.push_back({.cells = {"No part is watched yet. Name one with its service limit; every "
                                         "session you write down with its distance or time is counted."},
                               .kind = Kind::note});
    sort_lines(state, table, {0, 1, 2});
    table.foot = "Nearest its limit first. Service limits are the maker's; Restand only counts.";
    page.table = std::move(table);
    page.primary = {"Watch a part", act::StartPart{bike->id, {}}, ""};
    return page;
}

}  // namespace restand
