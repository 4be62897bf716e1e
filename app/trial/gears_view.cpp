// Road speed in each gear, with the shift at the engine speed given: the tried sprockets against those on the
// bike.

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "app/trial/chassis_parts.h"
#include "app/views/plot.h"

namespace restand {

namespace {
using Curve = std::vector<PlotPoint>;
constexpr double rpm_taken = 10'000;  // assumed if the bike's own value is unknown

std::string gear_name(std::size_t gear) {
    constexpr std::array ordinals{"1st", "2nd", "3rd"};
    return gear < ordinals.size() ? ordinals[gear] : fmt::format("{}th", gear + 1);
}

// The curve up through the gears: along each gear to the shift, then down to the engine speed in the next
// gear. The first gear starts a little below the lowest engine speed of the others.
Curve up_through(const std::vector<GearSpeed>& gears, double rpm) {
    double low = rpm * 0.7;
    for (const GearSpeed& g : gears) low = std::min(low, 0.9 * g.rpm_after.value_or(rpm));
    Curve out{{gears.front().kmh * low / rpm, low}};
    for (const GearSpeed& g : gears) {
        out.push_back({g.kmh, rpm});
        if (g.rpm_after) out.push_back({g.kmh, *g.rpm_after});
    }
    return out;
}

// One row a gear: current and tried.
struct GearRows {
    std::vector<Row>& rows;
    const Drive& tried;
    const Drive* now;  // nullptr: nothing is tried

    template <class Of>
    void put(Of of) {
        for (std::size_t i = 0; i < tried.gears.size(); ++i)
            rows.push_back(row::TableLine{gear_name(i), now ? of(*now, i) : "", of(tried, i)});
    }
    void head(std::string text) {
        rows.push_back(row::Heading{std::move(text)});
        if (now) rows.push_back(row::TableHead{"as it is", "tried"});
    }
};

std::string in_hundreds(double rpm) {
    return fmt::format("{:.0f}", std::round(rpm / 100) * 100);
}

// What the tables of speeds are made of.
struct SpeedTables {
    const SetUp& setup;
    const Drive& tried;
    const Drive* now;  // nullptr: nothing is tried
    double rpm;
};

void speed_rows(const AppState& state, const Bike& bike, const SpeedTables& shown, std::vector<Row>& rows) {
    GearRows table{rows, shown.tried, shown.now};
    const double rpm = shown.rpm;
    table.head(fmt::format("km/h at {:.0f} rpm", rpm));
    table.put([&](const Drive& d, std::size_t i) { return fmt::format("{:.0f}", speed_kmh(d, i, rpm)); });
    if (!bike.body.gearbox.rpm)
        rows.push_back(
            row::Note{"Where it is shifted up is not known; 10000 rpm are taken.", Ink::ink, false, true});
    if (shown.tried.gears.size() < bike.body.gearbox.gears.size())
        rows.push_back(row::Note{
            fmt::format("The {} gear's ratio is missing, or not below the one before: of those above "
                        "nothing is said.",
                        gear_name(shown.tried.gears.size())),
            Ink::now, true});
    for (const Point point : {Point::sprocket_front, Point::sprocket_rear})
        rows.push_back(adjuster_row(state, shown.setup, End::rear, point));
    rows.push_back(row::Stepper{.id = "at:speed",
                                .label = "engine speed at",
                                .value = fmt::format("{:.0f}", state.trial.at_kmh),
                                .unit = "km/h",
                                .less = "−10",
                                .more = "+10",
                                .tap_less = act::AtSpeed{-10},
                                .tap_more = act::AtSpeed{10},
                                .tap_value = act::DismissNotice{},
                                .saving = false});
    table.put([&](const Drive& d, std::size_t i) {
        const double turns = rpm_at(d, i, state.trial.at_kmh);
        return turns > rpm ? std::string("over") : in_hundreds(turns);
    });
}
}  // namespace

void draw_gears(const AppState& state, const Bike& bike, PageView& page) {
    const SetUp described = setup_described(state, bike.id), as_tried = setup_tried(state, bike.id),
                as_it_is = setup_now(state.ledger, bike.id);
    const auto tried = drive_of(bike.body, as_tried, described),
               now = drive_of(bike.body, as_it_is, described);
    auto& rows = page.panel.rows;
    if (!tried) {
        page.drawing = drawing_of(picture(picture_of(bike.body, End::rear, Scene::chain, {})));
        return missing_rows(bike, tried.error(), rows);
    }
    const auto turns_the_wheel = [&](Point point) { return is_tried(state, End::rear, point); };
    const bool other = now && (turns_the_wheel(Point::sprocket_front) ||
                               turns_the_wheel(Point::sprocket_rear) || turns_the_wheel(Point::tyre));
    const auto& known_rpm = bike.body.gearbox.rpm;
    const double rpm = known_rpm ? std::clamp(*known_rpm, 500.0, 30'000.0) : rpm_taken;
    const auto gears = gear_speeds(*tried, rpm);
    const Curve curve = up_through(gears, rpm),
                was = other ? up_through(gear_speeds(*now, rpm), rpm) : Curve{};
    Plot of;
    of.y_name = "engine, rpm";
    of.x_name = "road speed, km/h";
    of.points = curve;
    of.was = was;
    of.curve = true;
    of.ink = other ? Ink::now : Ink::baseline;
    of.name = other ? "tried" : "";
    for (std::size_t i = 0; i < gears.size(); ++i)
        of.marks.push_back({gears[i].kmh, rpm, std::to_string(i + 1), of.ink, true});
    page.drawing = plot(of);
    page.wide_drawing = true;
    page.drawing.caption = other ? "blue: as it is" : "up through the gears";

    speed_rows(state, bike, {as_tried, *tried, other ? &*now : nullptr, rpm}, rows);
    const bool rolled = described.stored(End::rear, Point::rolling_circumference) ||
                        as_it_is.stored(End::rear, Point::rolling_circumference);
    rows.push_back(row::Note{
        rolled ? "By what one turn of the tyre rolls, without slip or growth."
               : "By the wheel's radius as it stands; what one turn of the tyre rolls tells better.",
        Ink::ink, false, true});
}

}  // namespace restand
