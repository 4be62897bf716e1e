#include "app/views/view.h"

#include <fmt/format.h>

#include "app/draft_keys.h"
#include "app/jobs/jobs_view.h"
#include "app/meeting/devices_view.h"
#include "app/pad/pad_view.h"
#include "app/season/baselines_view.h"
#include "app/season/change_view.h"
#include "app/season/compare_view.h"
#include "app/season/history_view.h"
#include "app/season/plan_view.h"
#include "app/season/trend_view.h"
#include "app/shelf/shelf_view.h"
#include "app/swap/choose_view.h"
#include "app/swap/swap_view.h"
#include "app/trial/attitude_view.h"
#include "app/trial/chain_view.h"
#include "app/views/keys_view.h"
#include "app/views/season_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "app/workshop/bike_fields.h"
#include "app/workshop/bike_form_view.h"
#include "app/workshop/bike_view.h"
#include "app/workshop/bikes_view.h"
#include "app/workshop/people_view.h"
#include "app/workshop/settings_view.h"

namespace restand {

namespace {
PageView page_of(const AppState& state) {
    switch (state.screen) {
        case Screen::bikes:
            return bikes_view(state);
        case Screen::bike:
            return bike_view(state);
        case Screen::bike_form:
            return bike_form_view(state);
        case Screen::swap:
            return swap_view(state);
        case Screen::baselines:
            return baselines_view(state);
        case Screen::baseline:
            return baseline_view(state);
        case Screen::people:
            return people_view(state);
        case Screen::settings:
            return settings_view(state);
        case Screen::history:
            return history_view(state);
        case Screen::moment:
            return moment_view(state);
        case Screen::change:
            return change_view(state);
        case Screen::event:
            return event_view(state);
        case Screen::compare:
            return compare_view(state);
        case Screen::plan:
            return plan_view(state);
        case Screen::trend:
            return trend_view(state);
        case Screen::parts:
            return parts_view(state);
        case Screen::devices:
            return devices_view(state);
        case Screen::table:
            return table_view(state);
        case Screen::attitude:
            return attitude_view(state);
        case Screen::choose:
            return choose_view(state);
        case Screen::shelf:
            return shelf_view(state);
        case Screen::item:
            return item_view(state);
        case Screen::which_spring:
            return which_spring_view(state);
        case Screen::chain:
            return chain_view(state);
        case Screen::keys:
            return keys_view(state);
        case Screen::jobs:
            return jobs_view(state);
        case Screen::job:
            return job_view(state);
        case Screen::ready:
            return ready_view(state);
    }
    return bikes_view(state);
}

// "importing 42 %"
std::string working(const Work& work) {
    std::string text = work.what;
    text[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(text[0])));
    if (work.total > 0) text += fmt::format(" {} %", 100 * std::min(work.done, work.total) / work.total);
    return text;
}
}  // namespace

bool goes_on_paper(const PageView& page) {
    return page.wide_drawing || (page.table && page.drawing.strokes.empty() && !page.table->lines.empty());
}

PageView view(const AppState& state) {
    PageView page = page_of(state);
    if (page.pad || !goes_on_paper(page) || state.screen == Screen::baseline) return page;
    if (page.table)
        page.table->more.push_back({"print", "On paper", act::PrintPage{}});
    else
        page.panel.rows.push_back(
            row::Button{"print", "On paper", "this plot and its numbers, PDF", act::PrintPage{}});
    return page;
}

PageView blank_page(const AppState& state, std::string title) {
    PageView page;
    page.title = std::move(title);
    const Person* person = state.ledger.person(state.who);
    page.who = person ? "working: " + person->name : "who is working?";
    if (!state.writable)
        page.saved = "reading only";
    else if (!state.pending.empty())
        page.saved = "saving";
    else if (state.saved_ms)
        page.saved = "saved " + wording::clock(state.saved_ms, state.utc_offset_min);
    if (is_about_bike(state.screen) && state.ledger.bike(state.bike)) page.add_job = act::AddJob{};
    page.can_go_back = state.screen != Screen::bikes || state.pad;
    page.night = state.look.night;
    page.text_percent = state.look.text_percent;
    if (state.work) page.saved = working(*state.work);
    if (const auto& said = state.notice) {
        page.notice = Notice{said->text, "", {}, said->stop ? Ink::stop : Ink::ink};
        if (said->key) page.notice->key = said->key->label, page.notice->tap = said->key->tap;
    }
    if (state.pad) page.pad = pad_view(state);
    return page;
}

Drawing drawing_of(const BikePicture& picture) {
    Drawing d;
    d.strokes = picture.strokes;
    d.joints = picture.joints;
    d.low = picture.low;
    d.high = picture.high;
    return d;
}

Tag tag_at(std::string id, std::string label, const Anchor& anchor) {
    Tag tag;
    tag.id = std::move(id);
    tag.label = std::move(label);
    tag.a = anchor.a;
    tag.b = anchor.b;
    tag.offset = anchor.offset;
    return tag;
}

void put_value(Tag& tag, const Reading& reading) {
    if (reading.repeats.empty()) return;
    tag.value = wording::shown(reading);
    const bool text = is_text(reading.point);
    tag.unit = text ? "" : std::string(symbol(reading.repeats.back().unit));
}

std::map<Point, double> known_before(const AppState& state, const Swap& swap, End end) {
    std::map<Point, double> known;
    auto put = [&](const StoredReading& stored) {
        if (!is_text(stored.reading.point)) known[stored.reading.point] = measured(stored.reading).value;
    };
    if (const Baseline* last = state.ledger.newest_baseline(swap.bike))
        for (const BaselineValue& v : last->body.values)
            if (v.end == end) put(v.stored);
    for (const auto& [key, stored_readings] : swap.stored_readings)
        if (key.phase == Phase::before && key.end == end && !stored_readings.empty()) put(*swap.stored(key));
    return known;
}

PictureInput picture_of(const BikeBody& bike, End end, Scene scene, std::map<Point, double> known) {
    PictureInput in;
    in.end = end;
    in.scene = scene;
    in.bike = &bike;
    auto length = [&](Point p) {
        const auto it = known.find(p);
        return it == known.end() ? std::optional<Length>() : mm(it->second);
    };
    in.topped_out = length(Point::ride_height_topped_out);
    in.height = in.topped_out;
    in.known = std::move(known);
    return in;
}

Group group_of(Point point) {
    switch (point) {
        case Point::ride_height_topped_out:
        case Point::ride_height_static:
        case Point::ride_height_rider:
        case Point::ride_height_lifted:
        case Point::ride_height_pressed:
        case Point::fuel:
        case Point::rider_mass:
        case Point::wheel_weight:
        case Point::damper_temperature:
            return Group::heights;
        case Point::fitted_mass:
        case Point::fitted_mass_ahead:
            return Group::load;
        case Point::fork_position:
            return Group::position;
        case Point::chain_slack:
        case Point::axle_position:
        case Point::sprocket_front:
        case Point::sprocket_rear:
        case Point::chain_links:
        case Point::chain_gauge_length:
        case Point::chain_gauge_links:
        case Point::tyre:
        case Point::rolling_circumference:
        case Point::tyre_pressure_cold:
        case Point::tyre_pressure_hot:
            return Group::chain;
        case Point::clicks_compression_low:
        case Point::clicks_compression_high:
        case Point::clicks_rebound_low:
        case Point::clicks_rebound_high:
            return Group::dampers;
        case Point::spring_rate:
        case Point::spring_free_length:
        case Point::spring_installed_length:
        case Point::spring_block_length:
        case Point::spring_preload:
        case Point::preload_turns:
        case Point::collar_mm_per_turn:
            return Group::spring;
        case Point::link_rod:
            return Group::linkage;
        default:
            return is_inside(point) ? Group::inside : Group::unit;
    }
}

Scene scene_of(Group group) {
    switch (group) {
        case Group::heights:
        case Group::position:
        case Group::linkage:
        case Group::load:
            return Scene::stand;
        case Group::chain:
            return Scene::chain;
        case Group::dampers:
            return Scene::dampers;
        case Group::unit:
        case Group::spring:
        case Group::inside:
            return Scene::bench;
    }
    return Scene::whole;
}

std::string group_name(Group group, End end) {
    switch (group) {
        case Group::heights:
            return "Ride height";
        case Group::position:
            return "In the yokes";
        case Group::linkage:
            return "The linkage";
        case Group::chain:
            return end == End::rear ? "Chain and tyre" : "Tyre";
        case Group::dampers:
            return "Clicks, out from closed";
        case Group::unit:
            return end == End::rear ? "The shock" : "The fork";
        case Group::spring:
            return "The spring";
        case Group::load:
            return "Tank, bodywork, ballast";
        case Group::inside:
            return end == End::rear ? "Inside the shock" : "Inside the fork";
    }
    return "";
}

std::string read_how(const ChainNow& chain) {
    return chain.stand == chain.top ? "topped out" : "on the stand";
}

void short_chain_row(const ChainNow& chain, const UnitChoice& units, std::vector<Row>& rows) {
    if (!chain.too_short()) return;
    rows.push_back(row::Note{wording::chain_too_short(abs(chain.tight.excess), units) +
                                 " Move the axle forward or take more links.",
                             Ink::stop, true});
}

std::string field_id(const Field& field) {
    switch (field.of) {
        case Field::Of::reading:
            return fmt::format("{}:{}:{}", key(field.phase), wording::end(field.end), facts(field.point).key);
        case Field::Of::bike:
            return fmt::format("bike:{}", facts(field.bike).key);
        case Field::Of::person:
            return "person";
        case Field::Of::reason:
            return "reason";
        case Field::Of::where:
            return "where";
        case Field::Of::change:
            return fmt::format("change:{}:{}", wording::end(field.end), facts(field.point).key);
        case Field::Of::shelf:
            return fmt::format("shelf:{}", facts(field.point).key);
        case Field::Of::tried:
            return fmt::format("tried:{}:{}", wording::end(field.end), facts(field.point).key);
        case Field::Of::plan:
            return fmt::format("way:{}:{}", wording::end(field.end), facts(field.point).key);
        case Field::Of::event:
            return fmt::format("event:{}", static_cast<int>(field.event));
        case Field::Of::part:
            return fmt::format("part:{}", static_cast<int>(field.part));
        case Field::Of::job:
            return fmt::format("job:{}", key(field.job));
        case Field::Of::find:
            return "find";
        case Field::Of::device:
            return "device";
        case Field::Of::folder:
            return "folder";
    }
    return "";
}

std::string plus_minus(const Reading& reading) {
    if (reading.repeats.empty() || is_text(reading.point)) return "";
    const double u = expanded_95(measured(reading));
    const Unit unit = reading.repeats.back().unit;
    const double in_unit = from_canonical(u, unit);
    if (!std::isfinite(in_unit) || in_unit <= 0) return "";
    return "±" + print_fixed(in_unit, in_unit < 0.095 ? 2 : in_unit < 9.5 ? 1 : 0);
}

std::string name_of(const AppState& state, const Id& person) {
    const Person* found = state.ledger.person(person);
    return found ? found->name : "";
}

std::string who_and_when(const AppState& state, const Id& by, std::int64_t at_ms) {
    const Person* person = state.ledger.person(by);
    return fmt::format("{} · {} {}", person ? person->name : "nobody named",
                       wording::day(at_ms, state.utc_offset_min),
                       wording::clock(at_ms, state.utc_offset_min).substr(0, 5));
}

row::ReadingRow form_row(const AppState& state, const Field& field, std::string label, std::string value,
                         bool optional) {
    return {.id = "row:" + field_id(field),
            .mark = row::Mark::none,
            .label = std::move(label),
            .value = std::move(value),
            .unit = {},
            .plus_minus = {},
            .open = state.pad && state.pad->field == field,
            .optional = optional,
            .tap = act::OpenTag{field}};
}

void asking(const AppState& state, std::vector<Row>& rows, row::Button button, Question question) {
    if (state.asked != button.id) {
        button.tap = act::Ask{button.id};
        rows.push_back(std::move(button));
        return;
    }
    rows.push_back(row::Note{std::move(question.text), Ink::stop, true});
    rows.push_back(
        row::Button{button.id + ":yes", std::move(question.yes), "", std::move(button.tap), button.enabled});
    rows.push_back(row::Button{button.id + ":no", std::move(question.no), "", act::Ask{""}});
}

Primary no_way(std::string label, std::string why_not) {
    return {std::move(label), std::nullopt, std::move(why_not)};
}

}  // namespace restand
