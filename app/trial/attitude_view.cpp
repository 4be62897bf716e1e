#include "app/trial/attitude_view.h"

#include <fmt/format.h>

#include <cmath>

#include "app/season/baselines_view.h"
#include "app/trial/chassis_parts.h"
#include "app/views/season_wording.h"
#include "app/views/wording.h"
#include "app/workshop/bikes_view.h"

namespace restand {

namespace {
constexpr std::pair<End, Point> attitude_adjusters[] = {
    {End::rear, Point::eye_to_eye},     {End::rear, Point::spring_installed_length},
    {End::front, Point::fork_position}, {End::front, Point::spring_installed_length},
    {End::rear, Point::axle_position},  {End::rear, Point::tyre},
    {End::front, Point::tyre}};

// The main numbers of a chassis, before and after, in the workshop's units.
struct Numbers {
    const AppState& state;
    std::vector<Row>& rows;

    void length(const std::string& label, std::optional<Length> was, std::optional<Length> is) {
        const Unit unit = state.ledger.units().length;
        line(label + ", " + std::string(symbol(unit)),
             was ? std::optional(from_canonical(was->value, unit)) : std::nullopt,
             is ? std::optional(from_canonical(is->value, unit)) : std::nullopt, usual_decimals(unit));
    }
    void line(const std::string& label, std::optional<double> was, std::optional<double> is, int digits) {
        if (!is) return;
        const auto shown = [&](double v) {
            return fmt::format("{:.{}f}", std::fabs(v) < 1e-9 ? 0.0 : v, digits);
        };
        const bool moved = was && shown(*was) != shown(*is);
        rows.push_back(row::TableLine{label, was ? shown(*was) : "—", shown(*is), moved});
    }
};

std::optional<double> degrees_of(const std::optional<Attitude>& a, Angle Attitude::*which) {
    return a ? std::optional(in_degrees((*a).*which)) : std::nullopt;
}
std::optional<Length> length_of(const std::optional<Attitude>& a, Length Attitude::*which) {
    return a ? std::optional((*a).*which) : std::nullopt;
}

// The bike with one set-up: the heights of both ends by State, its attitude in the chosen state, its chain.
struct Stands {
    SetUp setup;
    EndHeights rear, front;
    Result<Chassis> chassis;
    std::optional<Attitude> attitude;
    Result<ChainNow> chain;
    Stands(const AppState& state, const BikeBody& body, SetUp of, const SetUp& described)
        : setup(std::move(of)),
          rear(heights_of(body, End::rear, setup)),
          front(heights_of(body, End::front, setup)),
          chassis(chassis_of(body, setup, described)),
          attitude(chassis ? chassis->in(state.trial.looked_at) : std::nullopt),
          chain(chain_of(body, setup, described)) {}
};

void place_tag(Drawing& drawing, std::string id, std::string label, const Anchor& anchor,
               std::optional<double> was, double is, int digits, const std::string& unit) {
    Tag tag = tag_at(std::move(id), std::move(label), anchor);
    tag.value = fmt::format("{:.{}f}", is, digits);
    tag.unit = unit;
    tag.shape = TagShape::rounded;
    const std::string before = was ? fmt::format("{:.{}f}", *was, digits) : tag.value;
    if (before != tag.value) {
        tag.note = fmt::format("was {}", before);
        tag.ink = Ink::now;
    }
    drawing.tags.push_back(std::move(tag));
}

// The tag of an adjustable point: a tap opens the pad, a drag moves the value.
void place_handle(const AppState& state, const BikePicture& pic, const SetUp& is, const SetUp& was, End end,
                  Point point, std::pair<std::optional<double>, std::optional<double>> limits,
                  Drawing& drawing) {
    const auto anchor = pic.anchors.find(point);
    const auto plan = pic.ways.find(point);
    const StoredReading *stored = is.stored(end, point), *before = was.stored(end, point);
    if (!stored || anchor == pic.anchors.end() || plan == pic.ways.end()) return;
    const Field field{.of = Field::Of::tried, .point = point, .end = end};
    Tag tag = tag_at("tag:" + field_id(field), adjuster_label(end, point), anchor->second);
    put_value(tag, stored->reading);
    tag.tap = act::OpenTag{field};
    tag.open = state.pad && state.pad->field == field;
    if (tag.open && !state.pad->entry.empty()) tag.value = state.pad->entry;
    tag.drag = Drag{.end = end,
                    .point = point,
                    .value = measured(stored->reading).value,
                    .along = plan->second,
                    .low = limits.first,
                    .high = limits.second};
    if (is_tried(state, end, point) && before) {
        tag.ink = Ink::now;
        tag.shape = TagShape::rounded;
        tag.note = "was " + wording::shown(before->reading);
    }
    drawing.tags.push_back(std::move(tag));
}

void place_handles(const AppState& state, const Bike& bike, const BikePicture& pic, const SetUp& is,
                   const SetUp& was, Drawing& drawing) {
    const auto known = [&](End end, Point point) {
        const StoredReading* stored = is.stored(end, point);
        return stored ? std::optional(measured(stored->reading).value) : std::nullopt;
    };
    const auto& slot = bike.body.mechanism.slot_length;
    place_handle(state, pic, is, was, End::front, Point::fork_position,
                 {known(End::front, Point::fork_position_min), known(End::front, Point::fork_position_max)},
                 drawing);
    place_handle(state, pic, is, was, End::rear, Point::eye_to_eye,
                 {known(End::rear, Point::eye_to_eye_min), known(End::rear, Point::eye_to_eye_max)}, drawing);
    place_handle(state, pic, is, was, End::rear, Point::axle_position,
                 {0.0, slot ? std::optional(in_mm(*slot)) : std::nullopt}, drawing);
}

PictureInput picture_of(const AppState& state, const Bike& bike, const Stands& of) {
    const auto load_state = static_cast<std::size_t>(state.trial.looked_at);
    PictureInput in = picture_of(bike.body, End::rear, Scene::whole, numbers_of(of.setup, End::rear));
    in.topped_out = of.rear[0];
    in.height = of.rear[load_state];
    in.far = PictureInput::FarEnd{of.front[0], of.front[load_state], {}, numbers_of(of.setup, End::front)};
    return in;
}

// Puts the numbers of the attitude in the chosen state at their places on the drawing.
void place_numbers(const AppState& state, const BikePicture& pic, const Attitude& now,
                   const std::optional<Attitude>& then, Drawing& drawing) {
    const Unit unit = state.ledger.units().length;
    const int fine = usual_decimals(unit);
    const std::string unit_sign(symbol(unit)), deg_sign(symbol(Unit::degree));
    const auto number = [&](Length Attitude::*which) {
        return [unit, which](const Attitude& a) { return from_canonical((a.*which).value, unit); };
    };
    const auto angle = [](Angle Attitude::*which) {
        return [which](const Attitude& a) { return in_degrees(a.*which); };
    };
    const auto put = [&](const char* id, const char* label, const Anchor& at, auto read, int digits,
                         const std::string& sign) {
        place_tag(drawing, id, label, at, then ? std::optional<double>(read(*then)) : std::nullopt, read(now),
                  digits, sign);
    };
    const auto tag = [&](BikeField at, const char* id, const char* label, auto read, int digits,
                         const std::string& sign) {
        if (const auto anchor = pic.bike_anchors.find(at); anchor != pic.bike_anchors.end())
            put(id, label, anchor->second, read, digits, sign);
    };
    tag(BikeField::rake, "tag:rake", "rake", angle(&Attitude::rake), 1, deg_sign);
    tag(BikeField::swingarm, "tag:arm", "swingarm to ground", angle(&Attitude::arm_to_ground), 1, deg_sign);
    tag(BikeField::pivot_height, "tag:pivot", "pivot height", number(&Attitude::pivot_height), fine,
        unit_sign);
    tag(BikeField::wheelbase, "tag:wheelbase", "wheelbase", number(&Attitude::wheelbase),
        unit == Unit::mm ? 0 : fine, unit_sign);
    if (pic.trail) put("tag:trail", "trail", *pic.trail, number(&Attitude::trail), fine, unit_sign);
}

void draw_bike(const AppState& state, const Bike& bike, const Stands& is, const Stands& was, PageView& page) {
    PictureInput in = picture_of(state, bike, is);
    const bool tried = !state.trial.tried.empty();
    const auto load_state = static_cast<std::size_t>(state.trial.looked_at);
    if (tried) {
        in.ghost = was.rear[load_state];
        in.far->ghost = was.front[load_state];
    }
    const BikePicture pic = picture(in);
    page.drawing = drawing_of(pic);
    if (tried) {
        // The picture's bounds stay fixed while settings are tried.
        const BikePicture as_it_is = picture(picture_of(state, bike, was));
        page.drawing.low = as_it_is.low;
        page.drawing.high = as_it_is.high;
    }
    page.drawing.caption = pic.to_scale ? "to scale" : "schematic where not measured";
    if (tried) page.drawing.caption += " · blue: as it is";
    place_handles(state, bike, pic, is.setup, was.setup, page.drawing);
    if (is.attitude) place_numbers(state, pic, *is.attitude, was.attitude, page.drawing);
}

void number_rows(const AppState& state, const Stands& is, const Stands& was, std::vector<Row>& rows) {
    rows.push_back(row::TableHead{"now", "tried"});
    Numbers numbers{state, rows};
    const auto at = static_cast<std::size_t>(state.trial.looked_at);
    const auto &a = was.attitude, &b = is.attitude;
    numbers.length("rear height", was.rear[at], is.rear[at]);
    numbers.length("front height", was.front[at], is.front[at]);
    numbers.line("rake, °", degrees_of(a, &Attitude::rake), degrees_of(b, &Attitude::rake), 2);
    numbers.length("trail", length_of(a, &Attitude::trail), length_of(b, &Attitude::trail));
    numbers.length("normal trail", length_of(a, &Attitude::normal_trail),
                   length_of(b, &Attitude::normal_trail));
    numbers.length("wheelbase", length_of(a, &Attitude::wheelbase), length_of(b, &Attitude::wheelbase));
    numbers.line("swingarm to ground, °", degrees_of(a, &Attitude::arm_to_ground),
                 degrees_of(b, &Attitude::arm_to_ground), 2);
    numbers.length("pivot height", length_of(a, &Attitude::pivot_height),
                   length_of(b, &Attitude::pivot_height));
    if (is.chain)
        numbers.length(
            is.chain->stand == is.chain->top ? "chain slack, topped out" : "chain slack, on the stand",
            was.chain ? std::optional(was.chain->on_stand.slack) : std::nullopt, is.chain->on_stand.slack);
    rows.push_back(
        row::Note{"Angles start from the bike's own numbers, and from how it stood when they were typed.",
                  Ink::ink, false, true});
}

void looked_at_row(State load_state, std::vector<Row>& rows) {
    rows.push_back(
        row::Choice{"state",
                    "",
                    {"topped out", "static", "rider"},
                    {act::LookAt{State::topped_out}, act::LookAt{State::static_}, act::LookAt{State::rider}},
                    static_cast<std::size_t>(load_state)});
}

Primary primary_of(const AppState& state, const Bike& bike, const Stands& is) {
    if (state.pad) return {"Try it", act::PadNext{}, ""};
    // The axle is easily dragged too far back.
    if (!state.trial.tried.empty() && is.chain && is.chain->too_short())
        return no_way("It is set so now", "The chain is too short for it.");
    if (!state.trial.tried.empty() && cannot_be_set(bike.body, is.setup))
        return no_way("It is set so now", "It cannot be set so.");
    if (!state.trial.tried.empty()) return {"It is set so now", act::KeepTried{}, ""};
    return {"To the bike", act::Go{Screen::bike, bike.id}, ""};
}
}  // namespace

PageView attitude_view(const AppState& state) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return bikes_view(state);
    PageView page = blank_page(state, bike->body.name + " · attitude");
    const SetUp described = setup_described(state, bike->id);
    const bool tried = !state.trial.tried.empty();
    const SetUp now = setup_now(state.ledger, bike->id);
    const Stands was(state, bike->body, now, described);
    const Stands is = tried ? Stands(state, bike->body, setup_tried(state, bike->id), described) : was;
    draw_bike(state, *bike, is, was, page);
    auto& rows = page.panel.rows;
    const bool over_travel = state.trial.over_travel != TravelPlot::none;
    page.panel.title = tried ? "Tried, not set yet" : "As it stands";
    page.panel.list = "attitude";
    also_tried_rows(state, attitude_adjusters, rows);
    if (over_travel) {
        draw_travel(state, *bike, page);
    } else {
        looked_at_row(state.trial.looked_at, rows);
        if (!is.chassis) missing_rows(*bike, is.chassis.error(), rows);
    }
    for (const auto& [end, point] : attitude_adjusters)
        rows.push_back(adjuster_row(state, is.setup, end, point));
    // Below the adjusters: they stay under the finger.
    for (const End end : {End::rear, End::front})
        if (const auto why = heights_lost(bike->body, end, is.setup); why && !over_travel)
            rows.push_back(row::Note{fmt::format("How the {} stands so cannot be said. {}", wording::end(end),
                                                 wording::sentence(*why)),
                                     Ink::stop, true});
    if (is.chain && !over_travel) short_chain_row(*is.chain, state.ledger.units(), rows);
    if (is.attitude) number_rows(state, is, was, rows);
    // The slack needs no linkage; the other two do.
    const TravelPlot first = bike->body.mechanism.linkage ? TravelPlot::wheel_rate : TravelPlot::slack;
    rows.push_back(row::Button{"over", over_travel ? "The bike" : "Over the travel",
                               over_travel ? "" : "motion ratio, wheel rate, chain slack",
                               act::OverTravel{over_travel ? TravelPlot::none : first}});
    rows.push_back(row::Button{"chain", "Chain and gearing", "", act::ShowChain{bike->id}});
    if (tried)
        rows.push_back(row::Button{"target", "Keep it as a target", "a base setting; the bike stays as it is",
                                   act::KeepAsTarget{}});
    if (tried) rows.push_back(row::Button{"nothing", "As it is", "forget what was tried", act::TryNothing{}});
    page.panel.cautions.emplace_back("Bike secured; spring under load. Fasteners to the maker's manual.");
    page.primary = primary_of(state, *bike, is);
    return page;
}

}  // namespace restand
