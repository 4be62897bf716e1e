#include "app/season/change_view.h"

#include <fmt/format.h>

#include <array>
#include <utility>

#include "app/season/baselines_view.h"
#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "app/workshop/bikes_view.h"
#include "core/ledger/change_effect.h"
#include "core/ledger/chassis.h"

namespace restand {

std::optional<SettingStep> setting_step(const SetUp& setup, End end, Point point) {
    using P = Point;
    switch (point) {
        case P::clicks_compression_low:
        case P::clicks_compression_high:
        case P::clicks_rebound_low:
        case P::clicks_rebound_high:
            return SettingStep{1, "1 in", "1 out"};
        case P::spring_installed_length:
        case P::spring_preload: {
            // Collar in: a shorter spring, more preload. Its key is on the right, where more is expected.
            const double in = point == P::spring_preload ? 1 : -1;
            if (const StoredReading* pitch = setup.stored(end, P::collar_mm_per_turn))
                return SettingStep{0.5 * in * measured(pitch->reading).value, "½ out", "½ in"};
            return SettingStep{in, "1 mm out", "1 mm in"};
        }
        case P::eye_to_eye:
            if (const StoredReading* pitch = setup.stored(end, P::length_mm_per_turn))
                return SettingStep{0.5 * measured(pitch->reading).value, "−½ turn", "+½ turn"};
            return SettingStep{1, "−1 mm", "+1 mm"};
        case P::fork_position:
            return SettingStep{1, "−1 mm", "+1 mm"};
        case P::axle_position:
            // A millimetre of axle is some 25 mm of slack.
            return SettingStep{0.2, "−0.2 mm", "+0.2 mm"};
        case P::tyre_pressure_cold:
        case P::tyre_pressure_hot:
            return SettingStep{to_canonical(0.05, Unit::bar), "−0.05", "+0.05"};
        case P::sprocket_front:
        case P::sprocket_rear:
            return SettingStep{1, "−1", "+1"};
        case P::chain_links:
            return SettingStep{2, "−2", "+2"};
        default:
            return std::nullopt;
    }
}

namespace {
constexpr Point of_rear[] = {Point::clicks_compression_low,
                             Point::clicks_compression_high,
                             Point::clicks_rebound_low,
                             Point::clicks_rebound_high,
                             Point::eye_to_eye,
                             Point::spring_installed_length,
                             Point::tyre_pressure_cold,
                             Point::sprocket_front,
                             Point::sprocket_rear,
                             Point::chain_links,
                             Point::axle_position,
                             Point::tyre};
constexpr Point of_front[] = {Point::clicks_compression_low,  Point::clicks_compression_high,
                              Point::clicks_rebound_low,      Point::clicks_rebound_high,
                              Point::spring_installed_length, Point::fork_position,
                              Point::tyre_pressure_cold,      Point::tyre};

// A spring known by its preload alone is set by that: of it a length says nothing.
Point set_by(const SetUp& setup, End end, Point point) {
    const bool by_preload = point == Point::spring_installed_length &&
                            setup.stored(end, Point::spring_preload) &&
                            !setup.stored(end, Point::spring_free_length);
    return by_preload ? Point::spring_preload : point;
}

Row setting_row(const AppState& state, const SetUp& setup, End end, Point point) {
    const Field field{.of = Field::Of::change, .point = point, .end = end};
    const StoredReading* stored = setup.stored(end, point);
    const auto step = stored ? setting_step(setup, end, point) : std::nullopt;
    const std::string label =
        point == Point::spring_installed_length ? "spring, installed" : wording::short_label(point);
    if (!step) {
        row::ReadingRow row = form_row(state, field, label, stored ? wording::shown(stored->reading) : "");
        if (saving(state, field)) row.mark = row::Mark::saving;
        if (stored) row.unit = symbol(stored->reading.repeats.back().unit);
        return row;
    }
    const Unit unit = stored->reading.repeats.back().unit;
    return row::Stepper{.id = field_id(field),
                        .label = label,
                        .value = wording::shown(stored->reading),
                        .unit = unit == Unit::click ? "" : std::string(symbol(unit)),
                        .less = step->less,
                        .more = step->more,
                        .tap_less = act::Nudge{end, point, -step->by},
                        .tap_more = act::Nudge{end, point, step->by},
                        .tap_value = act::OpenTag{field},
                        .saving = saving(state, field)};
}

// What is read on the bike; what a setting has moved since, as it is expected.
row::ReadingRow read_row(const AppState& state, const SetUp& stands, End end, Point point) {
    const Field field{.of = Field::Of::change, .point = point, .end = end};
    const std::string label =
        is_ride_height(point) ? fmt::format("{}, {}", wording::end(end), wording::state(*height_state(point)))
                              : wording::label(point);
    const StoredReading* now = stands.stored(end, point);
    const Unit unit = chosen(state.ledger.units(), Dimension::length);
    row::ReadingRow row = form_row(state, field, label, now ? wording::shown_in(now->reading, unit) : "");
    if (saving(state, field)) row.mark = row::Mark::saving;
    if (now) row.unit = symbol(unit);
    return row;
}

void read_rows(const AppState& state, const SetUp& stands, std::vector<Row>& rows) {
    rows.push_back(row::Heading{"As it stands"});
    for (const End end : {End::rear, End::front})
        for (const Point height : ride_heights) rows.push_back(read_row(state, stands, end, height));
    rows.push_back(read_row(state, stands, End::rear, Point::chain_slack));
}

void baseline_rows(const AppState& state, const Bike& bike, const SetUp& setup, std::vector<Row>& rows) {
    if (state.ledger.open_swap(bike.id))
        rows.push_back(row::Note{"The open swap ends with a baseline of its own.", Ink::ink, false, true});
    if (!may_keep_as_it_stands(state, bike.id, setup)) return;
    rows.push_back(row::Heading{"Why it stands so"});
    rows.push_back(row::Button{"reason", reason_as_it_stands(state, bike.id), "tap to write it",
                               act::OpenTag{{.of = Field::Of::reason}}});
    rows.push_back(row::Button{"keep-as-it-stands", "Keep as the bike's baseline",
                               wording::heights_not_read(setup), act::KeepAsItStands{bike.id},
                               state.pending.empty()});
}
}  // namespace

PageView change_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return bikes_view(state);
    PageView page = blank_page(state, bike->body.name + " · change");
    const SetUp setup = setup_now(state.ledger, bike->id);
    const SetUp stands = expected_now(state.ledger, *bike, setup);
    if (state.pad && state.pad->field.of == Field::Of::change && is_only_read(state.pad->field.point)) {
        draw_measured(state, *bike, stands, page);
    } else {
        draw_setup(*bike, stands, page);
        page.drawing.caption = "as it is set now";
    }
    auto& rows = page.panel.rows;
    page.panel.title = "Each tap is saved";
    page.panel.list = "change";
    if (setup.values.empty())
        rows.push_back(
            row::Note{"Nothing is known of this bike's settings yet. Tap one and type it as it is."});
    const bool first = !state.ledger.newest_baseline(bike->id);
    if (first) read_rows(state, stands, rows);  // a new bike: first what makes its baseline
    rows.push_back(row::Heading{"Rear"});
    for (const Point p : of_rear)
        rows.push_back(setting_row(state, setup, End::rear, set_by(setup, End::rear, p)));
    rows.push_back(row::Heading{"Front"});
    for (const Point p : of_front)
        rows.push_back(setting_row(state, setup, End::front, set_by(setup, End::front, p)));
    if (!first) read_rows(state, stands, rows);
    coil_warning_rows(state, setup, rows);
    if (const auto chain = chain_of(bike->body, setup, setup_described(state, bike->id)))
        short_chain_row(*chain, state.ledger.units(), rows);
    baseline_rows(state, *bike, setup, rows);
    page.panel.cautions.emplace_back("Bike secured; spring under load. Fasteners to the maker's manual.");
    if (state.pad)
        page.primary = {"Keep it", act::PadNext{}, ""};
    else if (first && may_keep_as_it_stands(state, bike->id, setup) &&
             wording::heights_not_read(setup).empty())
        page.primary = {"Keep as the bike's baseline", act::KeepAsItStands{bike->id}, ""};
    else
        page.primary = {"Done", act::Back{}, ""};
    return page;
}

}  // namespace restand
