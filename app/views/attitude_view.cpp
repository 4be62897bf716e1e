// Attitude: the bike on its wheels, with settings tried before anybody lies under it; and the rear end over its
// travel. What is tried is on no disk until somebody says that it is set so.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/bike_fields.h"
#include "app/views/plot.h"
#include "app/views/view.h"
#include "app/views/view_parts.h"
#include "app/views/words.h"
#include "core/ledger/chassis.h"

namespace restand {

namespace {
constexpr std::pair<End, Point> adjusters[] = {
    {End::rear, Point::eye_to_eye},        {End::rear, Point::spring_installed_length},
    {End::front, Point::fork_position},    {End::front, Point::spring_installed_length},
    {End::rear, Point::axle_position},     {End::rear, Point::tyre},
    {End::front, Point::tyre}};

std::string adjuster_label(End end, Point point) {
    switch (point) {
        case Point::eye_to_eye:
            return "shock, eye to eye";
        case Point::spring_installed_length:
            return end == End::rear ? "shock spring, installed" : "fork spring, installed";
        case Point::tyre:
            return end == End::rear ? "rear tyre, by its marking" : "front tyre, by its marking";
        default:
            return words::label(point);
    }
}

bool is_tried(const Desk& desk, End end, Point point) {
    const auto& tried = desk.season.tried;
    return std::any_of(tried.begin(), tried.end(),
                       [&](const SetValue& v) { return v.end == end && v.reading.point == point; });
}

Row adjuster_row(const Desk& desk, const SetUp& setup, End end, Point point) {
    const Field field{.of = Field::Of::tried, .point = point, .end = end};
    const Take* take = setup.take(end, point);
    const auto step = take ? setting_step(setup, end, point) : std::nullopt;
    const std::string label = adjuster_label(end, point) + (is_tried(desk, end, point) ? " · tried" : "");
    const Unit unit = take ? take->reading.repeats.back().unit : Unit::mm;
    if (!step)
        return row::ReadingRow{.id = "row:" + field_id(field),
                               .mark = row::Mark::none,
                               .label = label,
                               .value = take ? words::shown(take->reading) : "",
                               .unit = take ? std::string(symbol(unit)) : "",
                               .plus_minus = {},
                               .open = desk.pad && desk.pad->field == field,
                               .optional = true,
                               .tap = act::OpenTag{field}};
    return row::Stepper{.id = field_id(field),
                        .label = label,
                        .value = words::shown(take->reading),
                        .unit = std::string(symbol(unit)),
                        .less = step->less,
                        .more = step->more,
                        .tap_less = act::Try{end, point, -step->by},
                        .tap_more = act::Try{end, point, step->by},
                        .tap_value = act::OpenTag{field},
                        .saving = false};
}

// What a chassis is known by, before and after; in the workshop's units.
struct Numbers {
    const Desk& desk;
    std::vector<Row>& rows;

    void length(const std::string& label, std::optional<Length> was, std::optional<Length> is) {
        const Unit unit = desk.ledger.units().length;
        line(label + ", " + std::string(symbol(unit)), was ? std::optional(from_canonical(was->value, unit)) : std::nullopt,
             is ? std::optional(from_canonical(is->value, unit)) : std::nullopt, 1);
    }
    void line(const std::string& label, std::optional<double> was, std::optional<double> is, int digits) {
        if (!is) return;
        const auto shown = [&](double v) { return fmt::format("{:.{}f}", std::fabs(v) < 1e-9 ? 0.0 : v, digits); };
        const bool moved = was && shown(*was) != shown(*is);
        rows.push_back(row::TableLine{label, was ? shown(*was) : "—", shown(*is), moved});
    }
};

std::optional<double> deg(const std::optional<Attitude>& a, Angle Attitude::*which) {
    return a ? std::optional(in_degrees((*a).*which)) : std::nullopt;
}
std::optional<Length> len(const std::optional<Attitude>& a, Length Attitude::*which) {
    return a ? std::optional((*a).*which) : std::nullopt;
}

// What must be known first, in words, with the way to it.
void missing_rows(const Desk& desk, const Bike& bike, const Error& error, std::vector<Row>& rows) {
    if (error.detail == "bike") {
        std::string label = error.subject;
        for (const BikeFieldFacts& f : bike_fields())
            if (f.key == error.subject) label = std::string(f.label);
        if (error.subject == "front_sprocket") label = "where the front sprocket sits";
        if (error.subject == "linkage") label = "its linkage";
        rows.push_back(row::Note{"Missing of the bike's own numbers: " + label + ".", Ink::now, true});
        rows.push_back(row::Button{"numbers", "Give its numbers", "", act::EditBike{bike.id}});
        return;
    }
    rows.push_back(row::Note{words::sentence(error), Ink::now, true});
    rows.push_back(row::Button{"change", "Write down how it is set", "", act::StartChange{bike.id}});
    (void)desk;
}

// Heights of both ends by State.
struct Stood {
    EndHeights rear, front;
    Stood(const BikeBody& body, const SetUp& setup)
        : rear(heights_of(body, End::rear, setup)), front(heights_of(body, End::front, setup)) {}
};

void place_tag(Drawing& drawing, std::string id, std::string label, const Anchor& anchor, std::optional<double> was,
               double is, int digits, const std::string& unit) {
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

void draw_bike(const Desk& desk, const Bike& bike, const SetUp& is, const Stood& stands, const Stood& stood, const std::optional<Attitude>& now,
               const std::optional<Attitude>& then, SheetView& sheet) {
    const auto state = static_cast<std::size_t>(desk.season.looked_at);
    PictureInput in = picture_of(bike.body, End::rear, Scene::whole, numbers_of(is, End::rear));
    in.topped_out = stands.rear[0];
    in.height = stands.rear[state];
    in.far = PictureInput::FarEnd{stands.front[0], stands.front[state], {}};
    if (!desk.season.tried.empty()) {
        in.ghost = stood.rear[state];
        in.far->ghost = stood.front[state];
    }
    const BikePicture pic = picture(in);
    sheet.drawing = drawing_of(pic);
    sheet.drawing.caption = pic.to_scale ? "to scale" : "schematic where not measured";
    if (!desk.season.tried.empty()) sheet.drawing.caption += " · blue: as it is";
    if (!now) return;
    const auto number = [](const std::optional<Attitude>& a, auto read) {
        return a ? std::optional<double>(read(*a)) : std::nullopt;
    };
    const Unit unit = desk.ledger.units().length;
    const auto tag = [&](BikeField at, const char* id, const char* label, auto read, int digits, const std::string& sign) {
        if (const auto anchor = pic.bike_anchors.find(at); anchor != pic.bike_anchors.end())
            place_tag(sheet.drawing, id, label, anchor->second, number(then, read), read(*now), digits, sign);
    };
    const std::string mm_sign(symbol(unit)), deg_sign(symbol(Unit::degree));
    const auto in_unit = [unit](Length l) { return from_canonical(l.value, unit); };
    tag(BikeField::rake, "tag:rake", "rake", [](const Attitude& a) { return in_degrees(a.rake); }, 1, deg_sign);
    tag(BikeField::swingarm, "tag:arm", "swingarm to ground", [](const Attitude& a) { return in_degrees(a.arm_to_ground); }, 1,
        deg_sign);
    tag(BikeField::pivot_height, "tag:pivot", "pivot height", [&](const Attitude& a) { return in_unit(a.pivot_height); }, 1,
        mm_sign);
    tag(BikeField::wheelbase, "tag:wheelbase", "wheelbase", [&](const Attitude& a) { return in_unit(a.wheelbase); }, 0, mm_sign);
    if (pic.trail)
        place_tag(sheet.drawing, "tag:trail", "trail", *pic.trail,
                  number(then, [&](const Attitude& a) { return in_unit(a.trail); }), in_unit(now->trail), 1, mm_sign);
}

// One quantity over the travel, the tried set-up against the one as it is.
void draw_travel(const Desk& desk, const Bike& bike, const SetUp& is, const SetUp& was, const SetUp& described,
                 SheetView& sheet) {
    const auto rows = travel_of(bike.body, is, described), before = travel_of(bike.body, was, described);
    if (!rows) return missing_rows(desk, bike, rows.error(), sheet.slip.rows);
    const bool rate = desk.season.over_travel == TravelPlot::wheel_rate;
    const auto points = [&](const std::vector<TravelRow>& from) {
        std::vector<PlotPoint> out;
        for (const TravelRow& r : from)
            out.push_back({in_mm(r.wheel_travel), rate ? in_newton_per_mm(r.wheel_rate) : r.motion_ratio});
        return out;
    };
    const auto now = points(*rows), then = before && !desk.season.tried.empty() ? points(*before) : std::vector<PlotPoint>{};
    Plot of{.y_name = rate ? "wheel rate, N/mm" : "motion ratio", .points = now, .band = {}, .limit = {}, .limit_name = {},
            .least_span = rate ? 2 : 0.02, .x_text = nullptr};
    of.was = then;
    of.curve = true;
    of.x_name = "wheel travel, mm";
    sheet.drawing = plot(of);
    sheet.drawing.caption = then.empty() ? "from the linkage's points" : "black: tried · blue: as it is";
}
}  // namespace

SheetView attitude_view(const Desk& desk) {
    const Bike* bike = desk.ledger.bike(desk.bike);
    if (!bike) return bikes_view(desk);
    SheetView sheet = blank_sheet(desk, bike->body.name + " · attitude");
    const SetUp described = setup_described(desk, bike->id), now = setup_now(desk, bike->id), tried = setup_tried(desk, bike->id);
    const auto was = chassis_of(bike->body, now, described), is = chassis_of(bike->body, tried, described);
    const State state = desk.season.looked_at;
    const auto a = was ? was->in(state) : std::nullopt, b = is ? is->in(state) : std::nullopt;
    const Stood stood(bike->body, now), stands(bike->body, tried);
    draw_bike(desk, *bike, tried, stands, stood, b, a, sheet);
    auto& rows = sheet.slip.rows;
    sheet.slip.title = desk.season.tried.empty() ? "As it stands" : "Tried, not set yet";
    const bool over_travel = desk.season.over_travel != TravelPlot::none;
    if (over_travel) {
        draw_travel(desk, *bike, tried, now, described, sheet);
        rows.push_back(row::Choice{"plot",
                                   "",
                                   {"motion ratio", "wheel rate"},
                                   {act::OverTravel{TravelPlot::motion_ratio}, act::OverTravel{TravelPlot::wheel_rate}},
                                   desk.season.over_travel == TravelPlot::motion_ratio ? 0u : 1u});
    } else
        rows.push_back(row::Choice{"state", "", {"hanging", "alone", "rider"}, {act::LookAt{State::topped_out}, act::LookAt{State::static_}, act::LookAt{State::rider}},
                                   static_cast<std::size_t>(state)});
    if (!is) missing_rows(desk, *bike, is.error(), rows);
    for (const auto& [end, point] : adjusters) rows.push_back(adjuster_row(desk, tried, end, point));
    if (b) {
        rows.push_back(row::TableHead{"now", "tried"});
        Numbers numbers{desk, rows};
        const auto at = static_cast<std::size_t>(state);
        numbers.length("rear height", stood.rear[at], stands.rear[at]);
        numbers.length("front height", stood.front[at], stands.front[at]);
        numbers.line("rake, °", deg(a, &Attitude::rake), deg(b, &Attitude::rake), 2);
        numbers.length("trail", len(a, &Attitude::trail), len(b, &Attitude::trail));
        numbers.length("normal trail", len(a, &Attitude::normal_trail), len(b, &Attitude::normal_trail));
        numbers.length("wheelbase", len(a, &Attitude::wheelbase), len(b, &Attitude::wheelbase));
        numbers.line("swingarm to ground, °", deg(a, &Attitude::arm_to_ground), deg(b, &Attitude::arm_to_ground), 2);
        numbers.length("pivot height", len(a, &Attitude::pivot_height), len(b, &Attitude::pivot_height));
        const auto slack_was = chain_of(bike->body, now, described), slack_is = chain_of(bike->body, tried, described);
        if (slack_is)
            numbers.length("chain slack, hanging", slack_was ? std::optional(slack_was->hanging.slack) : std::nullopt,
                           slack_is->hanging.slack);
        rows.push_back(row::Note{"Angles start from the bike's own numbers, taken as measured at the newest baseline.", Ink::ink,
                                 false, true});
    }
    rows.push_back(row::Button{"over", over_travel ? "The bike" : "Over the travel",
                               over_travel ? "" : "motion ratio and wheel rate",
                               act::OverTravel{over_travel ? TravelPlot::none : TravelPlot::wheel_rate}});
    rows.push_back(row::Button{"chain", "Chain and gearing", "", act::ShowChain{bike->id}});
    if (!desk.season.tried.empty()) rows.push_back(row::Button{"nothing", "As it is", "forget what was tried", act::TryNothing{}});
    sheet.slip.cautions.emplace_back("Bike secured; spring under load. Fasteners to the maker's manual.");
    if (desk.pad)
        sheet.primary = {"Try it", act::PadNext{}, ""};
    else if (!desk.season.tried.empty())
        sheet.primary = {"It is set so now", act::KeepTried{}, ""};
    else
        sheet.primary = {"To the bike", act::Go{Screen::bike, bike->id}, ""};
    return sheet;
}

// --- Chain and gearing
// -------------------------------------------------------------------------------------------

namespace {
struct ChainSheet {
    const Desk& desk;
    const Bike& bike;
    const SetUp& tried;
    const ChainNow& chain;
    Length usual;                       // at the tight spot, as it is
    std::vector<Row>& rows;

    std::string mm_text(Length l) const {
        const Unit unit = desk.ledger.units().length;
        return words::value(l.value, unit) + " " + std::string(symbol(unit));
    }
    double value(Point point) const {
        const Take* take = tried.take(End::rear, point);
        return take ? measured(take->reading).value : 0.0;
    }
    double wanted_slack() const {
        return desk.season.wanted_slack > 0 ? desk.season.wanted_slack : std::max(5.0, in_mm(usual));
    }

    void now_rows() {
        rows.push_back(row::TableHead{"", ""});
        const auto line = [&](const char* label, const std::string& v) { rows.push_back(row::TableLine{label, "", v}); };
        line("slack hanging", mm_text(chain.hanging.slack));
        line("tight spot", mm_text(chain.tight.slack));
        line("droop there", fmt::format("{:.1f}°", in_degrees(chain.tight.droop)));
        line("pitch, assumed", "15.875 mm");
        line("final drive", fmt::format("{:.3f}", chain.run.sprockets.ratio()));
        if (chain.tight.excess.value < 0)
            rows.push_back(row::Note{fmt::format("Too short: {} are missing at the tight spot. Move the axle forward or take more "
                                                 "links.", mm_text(-chain.tight.excess)), Ink::stop, true});
        const Unit unit = desk.ledger.units().length;
        rows.push_back(row::Stepper{.id = "want:slack", .label = "wanted at the tight spot",
                                    .value = words::value(wanted_slack(), unit), .unit = std::string(symbol(unit)),
                                    .less = "−1 mm", .more = "+1 mm",
                                    .tap_less = act::WantSlack{desk.season.wanted_slack > 0 ? -1 : wanted_slack() - 1},
                                    .tap_more = act::WantSlack{desk.season.wanted_slack > 0 ? 1 : wanted_slack() + 1},
                                    .tap_value = act::DismissNotice{}, .saving = false});
        const auto arm = arm_for(chain.run, chain.tight.droop, mm(wanted_slack()));
        if (!arm) return rows.push_back(row::Note{words::sentence(arm.error()), Ink::stop});
        if (desk.season.wanted_slack <= 0) return;  // nothing was asked for
        const SlackAt set = slack_at(chain.run, *arm, chain.top);
        rows.push_back(row::Big{.id = "slack", .label = "set hanging", .value = words::value(set.slack.value, unit),
                                .unit = std::string(symbol(unit)), .action = "",
                                .from = "", .note = fmt::format("axle {} {}", mm_text(abs(*arm - chain.arm)),
                                                                *arm < chain.arm ? "forward" : "back")});
    }

    // Neighbours of what is on the bike: what a team has on the shelf for a weekend.
    void option_rows() {
        const Sprockets now = chain.run.sprockets;
        std::vector<int> front, rear;
        for (int z = std::max(11, now.front - 2); z <= now.front + 2; ++z) front.push_back(z);
        for (int z = std::max(30, now.rear - 4); z <= now.rear + 4; ++z) rear.push_back(z);
        const double axle = value(Point::axle_position);
        const double slot = bike.body.mechanism.slot_length ? in_mm(*bike.body.mechanism.slot_length) : 40.0;
        const GearQuestion question{.run = chain.run, .arm = chain.arm, .slot = {mm(axle), mm(0), mm(slot)}, .low = chain.full,
                                    .high = chain.top, .slack_at_tight_spot = mm(wanted_slack()),
                                    .ratio = desk.season.wanted_ratio.value_or(now.ratio()), .odd_links = false, .effect = {1, 0, 0}};
        rows.push_back(row::Heading{"Sprockets, nearest to the wanted ratio first"});
        rows.push_back(row::Stepper{.id = "want:ratio", .label = "wanted ratio", .value = fmt::format("{:.3f}", question.ratio),
                                    .unit = "", .less = "−0.02", .more = "+0.02", .tap_less = act::WantRatio{-0.02},
                                    .tap_more = act::WantRatio{0.02}, .tap_value = act::DismissNotice{}, .saving = false});
        if (!bike.body.mechanism.slot_length)
            rows.push_back(row::Note{"The slot's length is not known; 40 mm are taken.", Ink::ink, false, true});
        std::size_t shown = 0;
        for (const GearOption& o : gear_options(question, front, rear)) {
            if (++shown > 8) break;
            const bool is = o.sprockets == now && o.links == chain.run.links;
            rows.push_back(row::Button{fmt::format("gear:{}:{}", o.sprockets.front, o.sprockets.rear),
                                       fmt::format("{}/{} · {:.3f}", o.sprockets.front, o.sprockets.rear, o.ratio),
                                       fmt::format("{} links · axle {}{}", o.links, mm_text(o.axle), o.fits ? "" : " · outside the slot"),
                                       act::TryGear{o.sprockets.front, o.sprockets.rear, o.links, std::round(in_mm(o.axle) * 10) / 10},
                                       true, is});
        }
    }
};

void draw_chain_run(const Bike& bike, const SetUp& tried, const ChainNow& chain, SheetView& sheet, const UnitChoice& units) {
    PictureInput in = picture_of(bike.body, End::rear, Scene::chain, numbers_of(tried, End::rear));
    in.known[Point::chain_slack] = in_mm(chain.hanging.slack);
    const auto top = tried.length(End::rear, Point::ride_height_topped_out);
    if (top) {
        in.height = *top;
        in.ghost = *top - chain.arm * (sin(chain.top) - sin(chain.tight.droop));
    }
    const BikePicture pic = picture(in);
    sheet.drawing = drawing_of(pic);
    for (const Point point : {Point::chain_slack, Point::axle_position, Point::sprocket_front, Point::sprocket_rear, Point::chain_links}) {
        const auto anchor = pic.anchors.find(point);
        const Take* take = tried.take(End::rear, point);
        if (anchor == pic.anchors.end() || (!take && point != Point::chain_slack)) continue;
        Tag tag = tag_at("tag:" + std::string(facts(point).key), words::label(point), anchor->second);
        if (point == Point::chain_slack) {
            tag.value = words::value(chain.hanging.slack.value, units.length);
            tag.unit = std::string(symbol(units.length));
            tag.note = fmt::format("{} at the tight spot", words::value(chain.tight.slack.value, units.length));
            tag.shape = TagShape::rounded;
            tag.limit = chain.tight.excess.value < 0;
        } else {
            put_value(tag, take->reading);
        }
        sheet.drawing.tags.push_back(std::move(tag));
    }
    sheet.drawing.caption = "wheel hanging · blue: arm at the tight spot";
}
}  // namespace

SheetView chain_view(const Desk& desk) {
    const Bike* bike = desk.ledger.bike(desk.bike);
    if (!bike) return bikes_view(desk);
    SheetView sheet = blank_sheet(desk, bike->body.name + " · chain and gearing");
    const SetUp described = setup_described(desk, bike->id), tried = setup_tried(desk, bike->id);
    const auto chain = chain_of(bike->body, tried, described);
    auto& rows = sheet.slip.rows;
    sheet.slip.title = desk.season.tried.empty() ? "As it is" : "Tried, not set yet";
    if (!chain) {
        PictureInput in = picture_of(bike->body, End::rear, Scene::chain, {});
        sheet.drawing = drawing_of(picture(in));
        missing_rows(desk, *bike, chain.error(), rows);
    } else {
        draw_chain_run(*bike, tried, *chain, sheet, desk.ledger.units());
        const auto now = chain_of(bike->body, setup_now(desk, bike->id), described);
        ChainSheet part{desk, *bike, tried, *chain, now ? now->tight.slack : chain->tight.slack, rows};
        part.now_rows();
        for (const Point point : {Point::axle_position, Point::chain_links}) rows.push_back(adjuster_row(desk, tried, End::rear, point));
        part.option_rows();
    }
    if (!desk.season.tried.empty()) rows.push_back(row::Button{"nothing", "As it is", "forget what was tried", act::TryNothing{}});
    sheet.slip.cautions.emplace_back("Chain and axle to the maker's manual: slack checked at the tight spot, axle torqued, wheel turned "
                                     "by hand, never with the engine running.");
    if (desk.pad)
        sheet.primary = {"Try it", act::PadNext{}, ""};
    else if (chain && chain->tight.excess.value < 0 && !desk.season.tried.empty())
        sheet.primary = no_way("It is set so now", "The chain is too short for it.");
    else if (!desk.season.tried.empty())
        sheet.primary = {"It is set so now", act::KeepTried{}, ""};
    else
        sheet.primary = {"To the bike", act::Go{Screen::bike, bike->id}, ""};
    return sheet;
}

}  // namespace restand
