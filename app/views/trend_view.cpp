// A value over the season, with its band and when it will meet its limit; and the parts that wear.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/views/plot.h"
#include "app/views/view.h"
#include "app/views/view_parts.h"
#include "app/views/words.h"

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

Unit unit_of(const Desk& desk, Watched what, Point point) {
    if (what == Watched::chain_elongation) return Unit::one;
    return chosen(desk.ledger.units(), what == Watched::point ? facts(point).dimension : Dimension::length);
}

// As it is shown: elongation in percent, the rest in the workshop's units.
double shown(const Desk& desk, double canonical) {
    const Season& s = desk.season;
    return s.what == Watched::chain_elongation ? 100 * canonical
                                               : from_canonical(canonical, unit_of(desk, s.what, s.point));
}
std::string sign(const Desk& desk) {
    const Season& s = desk.season;
    return s.what == Watched::chain_elongation ? "%" : std::string(symbol(unit_of(desk, s.what, s.point)));
}

std::string day_text(double days) {
    const std::string all = words::day(static_cast<std::int64_t>(days * day_ms), 0);
    return all.substr(0, all.rfind(' '));   // the year is in the caption
}

std::optional<double> limit_of(const Desk& desk, const Bike& bike) {
    if (desk.season.what == Watched::chain_elongation) return bike.body.chain_limit_percent ? std::optional(*bike.body.chain_limit_percent / 100) : std::nullopt;
    return std::nullopt;
}

void forecast_rows(const Desk& desk, std::optional<double> limit, std::vector<Row>& rows) {
    const auto& samples = desk.season.samples;
    if (samples.empty()) return;
    const Sample& last = samples.back();
    rows.push_back(row::Big{.id = "latest",
                            .label = "latest",
                            .value = fmt::format("{:.{}f}", shown(desk, last.value), desk.season.what == Watched::chain_elongation ? 2 : 1),
                            .unit = sign(desk),
                            .action = {},
                            .from = words::day(last.at_ms, desk.utc_offset_min),
                            .note = fmt::format("± {:.2f}", shown(desk, last.expanded)),
                            .ink = Ink::ink});
    const Forecast f = forecast(samples, limit.value_or(0), desk.now_ms);
    if (f.per_day_expanded > 0)
        rows.push_back(row::Note{fmt::format("{:+.2f} ± {:.2f} {} in 30 days", shown(desk, 30 * f.per_day),
                                             std::fabs(shown(desk, 30 * f.per_day_expanded)), sign(desk))});
    if (!limit) return;
    rows.push_back(row::Heading{fmt::format("Limit {:.1f} {}", shown(desk, *limit), sign(desk))});
    if (f.meets_ms) {
        std::string when = "Meets it about " + words::day(*f.meets_ms, desk.utc_offset_min);
        if (f.earliest_ms) when += ", not before " + words::day(*f.earliest_ms, desk.utc_offset_min);
        rows.push_back(row::Note{when + ".", Ink::now, true});
    } else {
        rows.push_back(row::Note{f.why_not == "few" ? "Three readings are needed to say when."
                                 : f.why_not == "level" ? "These readings show no wear yet."
                                                        : "It moves away from its limit."});
    }
}
}  // namespace

SheetView trend_view(const Desk& desk) {
    const Bike* bike = desk.ledger.bike(desk.bike);
    if (!bike) return bikes_view(desk);
    const Season& s = desk.season;
    SheetView sheet = blank_sheet(desk, bike->body.name + " · over the season");
    const std::string name = words::label(s.what, s.point) + ", " + words::end(s.end);
    const auto limit = limit_of(desk, *bike);

    std::vector<PlotPoint> points;
    for (const Sample& p : s.samples)
        points.push_back({static_cast<double>(p.at_ms) / day_ms, shown(desk, p.value), shown(desk, p.expanded), p.same_setting});
    std::vector<PlotBand> band;
    if (points.size() >= 3) {
        const double from = points.front().x, to = points.back().x + 0.15 * (points.back().x - points.front().x);
        for (int i = 0; i <= 24; ++i) {
            const double x = from + (to - from) * i / 24;
            if (const auto at = band_at(s.samples, static_cast<std::int64_t>(x * day_ms)))
                band.push_back({x, shown(desk, at->first), shown(desk, at->second)});
        }
    }
    Plot of{.y_name = name + ", " + sign(desk), .points = points, .band = band, .limit = {}, .limit_name = "limit",
            .least_span = s.what == Watched::chain_elongation ? 0.5 : 4, .x_text = day_text};
    if (limit) of.limit = shown(desk, *limit);
    sheet.drawing = plot(of);
    auto& rows = sheet.slip.rows;
    sheet.slip.title = name;
    if (!s.watched)
        rows.push_back(row::Note{"Looking through the season …"});
    else if (s.samples.empty())
        rows.push_back(row::Note{"Never read on this bike. Once it is, each reading is a point here."});
    else
        sheet.drawing.caption = fmt::format("{} readings · {} to {}{}",
                                            s.samples.size(), words::day(s.samples.front().at_ms, desk.utc_offset_min),
                                            words::day(s.samples.back().at_ms, desk.utc_offset_min),
                                            band.empty() ? "" : " · band: where the next one is expected, 95 %");
    forecast_rows(desk, limit, rows);
    if (s.what == Watched::chain_elongation && !limit)
        rows.push_back(row::Button{"limit", "Set its limit", "with the bike's numbers", act::EditBike{bike->id}});
    rows.push_back(row::Heading{"Look at"});
    for (const Choice& c : choices)
        rows.push_back(row::Button{fmt::format("watch:{}:{}:{}", key(c.what), words::end(c.end), facts(c.point).key),
                                   words::label(c.what, c.point) + ", " + words::end(c.end), "",
                                   act::ShowTrend{bike->id, c.what, c.end, c.point}, true,
                                   c.what == s.what && c.end == s.end && (c.what != Watched::point || c.point == s.point)});
    sheet.primary = {"To the bike", act::Go{Screen::bike, bike->id}, ""};
    return sheet;
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

SheetView part_form(const Desk& desk, const Bike& bike, SheetView sheet) {
    const PartForm& form = *desk.season.part;
    sheet.slip.title = form.part.nil() ? "A part to watch" : form.body.name;
    using enum PartField;
    for (const PartField field : {name, limit_km, limit_h, used_km, used_h}) {
        const Field f{.of = Field::Of::part, .part = field};
        sheet.slip.rows.push_back(row::ReadingRow{.id = "row:" + field_id(f),
                                                  .mark = row::Mark::none,
                                                  .label = words::label(field),
                                                  .value = standing_season_text(desk, f),
                                                  .unit = {},
                                                  .plus_minus = {},
                                                  .open = desk.pad && desk.pad->field == f,
                                                  .optional = field != name,
                                                  .tap = act::OpenTag{f}});
    }
    if (!form.part.nil()) {
        sheet.slip.rows.push_back(row::Button{"serviced", "Serviced today", "counts from nothing again", act::Serviced{form.part}});
        sheet.slip.rows.push_back(row::Button{"gone", "No longer on the bike", "", act::PartGone{form.part}});
    }
    (void)bike;
    sheet.slip.rows.push_back(row::Note{"Service limits are the maker's; Restand only counts.", Ink::ink, false, true});
    sheet.primary = desk.pad ? Primary{"Next", act::PadNext{}, ""} : Primary{"Save this part", act::SavePart{}, ""};
    return sheet;
}
}  // namespace

SheetView parts_view(const Desk& desk) {
    const Bike* bike = desk.ledger.bike(desk.bike);
    if (!bike) return bikes_view(desk);
    SheetView sheet = blank_sheet(desk, bike->body.name + " · service");
    draw_setup(*bike, setup_now(desk, bike->id), sheet);
    if (desk.season.part) return part_form(desk, *bike, std::move(sheet));
    sheet.slip.title = "Nearest its limit first";
    for (const PartUse& use : desk.season.parts)
        sheet.slip.rows.push_back(row::Card{.id = "part:" + to_text(use.part),
                                            .title = use.name,
                                            .line1 = use_text(use),
                                            .line2 = {},
                                            .badge = use.share > 0 ? fmt::format("{:.0f} %", 100 * use.share) : "",
                                            .tap = act::StartPart{bike->id, use.part}});
    if (desk.season.parts.empty())
        sheet.slip.rows.push_back(row::Note{"No part is watched yet. Name one with its service limit; every session you "
                                            "write down with its distance or time is counted."});
    sheet.primary = {"Watch a part", act::StartPart{bike->id, {}}, ""};
    return sheet;
}

}  // namespace restand
