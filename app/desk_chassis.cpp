// Attitude and chain: trying settings before they are set, and the bike's own mechanism in its form.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "app/desk_parts.h"
#include "app/views/words.h"
#include "core/exchange/body_json.h"

namespace restand {

SetUp setup_tried(const Desk& desk, const Id& bike) {
    SetUp setup = setup_now(desk, bike);
    forget_what_rolled(setup, desk.season.tried);
    for (const SetValue& v : desk.season.tried) {
        Take& take = setup.values[{v.end, v.reading.point}];
        take = Take{v.reading, {}, {}, {}, {}, false};
    }
    return setup;
}

SetUp setup_described(const Desk& desk, const Id& bike) {
    // Of the newest baseline that says how high it stood alone: without that nobody can place the bike's own numbers.
    const auto all = desk.ledger.baselines(bike);
    const auto whole = std::find_if(all.begin(), all.end(), [](const Baseline* b) {
        return b->value(End::rear, Point::ride_height_static) && b->value(End::front, Point::ride_height_static);
    });
    if (all.empty()) return setup_now(desk, bike);
    return setup_of(whole != all.end() ? **whole : *all.front());
}

void keep_tried(Desk& desk, End end, Reading reading) {
    auto& tried = desk.season.tried;
    std::erase_if(tried, [&](const SetValue& v) { return v.end == end && v.reading.point == reading.point; });
    const SetUp now = setup_now(desk, desk.bike);
    const Take* stands = now.take(end, reading.point);
    const bool text = is_text(reading.point);
    if (stands && !text && std::fabs(measured(stands->reading).value - measured(reading).value) < 1e-9) return;
    tried.push_back({end, std::move(reading)});
}

namespace {
// Half turns add up, so to the hundredth; as short as one would type it.
std::string hundredths(double mm) {
    std::string text = fmt::format("{:.2f}", mm);
    while (text.ends_with('0')) text.pop_back();
    if (text.ends_with('.')) text.pop_back();
    return text;
}

void try_value(Desk& desk, End end, Point point, double canonical) {
    const SetUp now = setup_now(desk, desk.bike);
    const Take* stands = now.take(end, point);
    if (!stands) return act_on(desk, act::OpenTag{{.of = Field::Of::tried, .point = point, .end = end}});
    Reading reading = stands->reading;
    const Unit unit = reading.repeats.back().unit;
    const bool fine = dimension_of(unit) == Dimension::length && unit == Unit::mm;
    reading.repeats = {Typed{fine ? hundredths(canonical) : words::plain(canonical, unit), unit}};
    if (!validate(reading)) return say(desk, "It is at its end.");
    keep_tried(desk, end, std::move(reading));
}

void show(Desk& desk, const Id& bike, Screen screen) {
    if (!leave_pad(desk) || !desk.ledger.bike(bike)) return;
    if (Trial& trial = desk.season; trial.tried_on != bike) trial = {.tried_on = bike};
    desk.bike = bike;
    desk.notice.reset();
    desk.screen = screen;
    // Geometry belongs to the baseline, the chain's length to its slack: both are read from disk.
    send(desk, errand::Baselines{bike});
}
}  // namespace

void act_on(Desk& desk, const act::ShowAttitude& of) {
    show(desk, of.bike, Screen::attitude);
}

void act_on(Desk& desk, const act::ShowChain& of) {
    show(desk, of.bike, Screen::chain);
}

void act_on(Desk& desk, const act::Try& step) {
    if (!leave_pad(desk)) return;
    const SetUp setup = setup_tried(desk, desk.bike);
    const Take* take = setup.take(step.end, step.point);
    try_value(desk, step.end, step.point, take ? measured(take->reading).value + step.by : step.by);
}

void act_on(Desk& desk, const act::TryTo& to) {
    if (leave_pad(desk)) try_value(desk, to.end, to.point, to.value);
}

void act_on(Desk& desk, const act::TryGear& gear) {
    if (!leave_pad(desk)) return;
    try_value(desk, End::rear, Point::sprocket_front, gear.front);
    try_value(desk, End::rear, Point::sprocket_rear, gear.rear);
    try_value(desk, End::rear, Point::chain_links, gear.links);
    try_value(desk, End::rear, Point::axle_position, gear.axle);
}

void act_on(Desk& desk, const act::TryNothing&) {
    if (!leave_pad(desk)) return;
    desk.season.tried.clear();
}

void act_on(Desk& desk, const act::KeepTried&) {
    if (!leave_pad(desk) || !desk.pending.empty() || desk.season.tried.empty()) return;
    if (desk.who.nil()) return act_on(desk, act::Go{Screen::people, {}});
    append(desk, {.then = Pending::Then::show_bike, .said = "Written down: it is set so.", .undo = true},
           {encode(ChangeBody{{}, std::exchange(desk.season.tried, {})}, desk.bike, {}, desk.who)});
}

void act_on(Desk& desk, const act::LookAt& at) {
    desk.season.looked_at = at.state;
}

void act_on(Desk& desk, const act::OverTravel& over) {
    desk.season.over_travel = over.plot;
}

void act_on(Desk& desk, const act::WantRatio& want) {
    const SetUp setup = setup_tried(desk, desk.bike);
    const Take *front = setup.take(End::rear, Point::sprocket_front), *rear = setup.take(End::rear, Point::sprocket_rear);
    if (!front || !rear) return;
    const double is = measured(rear->reading).value / measured(front->reading).value;
    desk.season.wanted_ratio = std::clamp(desk.season.wanted_ratio.value_or(is) + want.by, 1.0, 6.0);
}

void act_on(Desk& desk, const act::WantSlack& want) {
    desk.season.wanted_slack = std::clamp(desk.season.wanted_slack + want.by, 5.0, 80.0);
}

void act_on(Desk& desk, const act::ShowGears& show) {
    if (leave_pad(desk)) desk.season.gears = show.shown;
}

void act_on(Desk& desk, const act::AtSpeed& speed) {
    desk.season.at_kmh = std::clamp(desk.season.at_kmh + speed.by, 5.0, 400.0);
}

// --- The mechanism in the bike's form
// -----------------------------------------------------------------------------

void act_on(Desk& desk, const act::LinkageKind& to) {
    if (!desk.form || !leave_pad(desk)) return;
    auto& linkage = desk.form->body.mechanism.linkage;
    if (to.kind == 0) return linkage.reset();
    Linkage l = linkage.value_or(Linkage{});
    if (to.kind == 1) {
        l.rocker.reset();
    } else {
        Rocker r = l.rocker.value_or(Rocker{});
        const bool on_frame = to.kind == 2;
        r.pivot.on = on_frame ? Carrier::frame : Carrier::arm;
        r.rod_end.on = on_frame ? Carrier::arm : Carrier::frame;
        l.rocker = r;
    }
    linkage = l;
}

void act_on(Desk& desk, const act::LinkageSide&) {
    if (!desk.form || !desk.form->body.mechanism.linkage || !desk.form->body.mechanism.linkage->rocker) return;
    int& side = desk.form->body.mechanism.linkage->rocker->side;
    side = -side;
}

// Ride height grows as the axle hangs lower: the table's rise is its fall, from a start that is fitted
// anyway.
Result<LinkageCheck> points_check(const BikeBody& body) {
    const auto& linkage = body.mechanism.linkage;
    if (!linkage || !body.geometry.swingarm)
        return Error{ErrorCode::missing, linkage ? "swingarm" : "linkage", ""};
    LinkageTable table;
    for (const auto& [strut, height] : body.rear.pairs) table.pairs.push_back({strut, -height});
    return checked(*linkage, *body.geometry.swingarm, table);
}

bool best_taken(const BikeForm& form) {
    return form.taken && form.body.mechanism.linkage == form.taken->best &&
           form.body.geometry.swingarm == form.taken->best_arm;
}

void act_on(Desk& desk, const act::TakeBestPoints&) {
    if (!desk.form || !leave_pad(desk)) return;
    BikeBody& body = desk.form->body;
    const auto check = points_check(body);
    if (!check || !check->best || check->agreement == Agreement::contradict) return;
    const auto& best = *check->best;
    desk.form->taken = PointsTaken{*body.mechanism.linkage, best.linkage, *body.geometry.swingarm, best.arm};
    body.mechanism.linkage = best.linkage;
    body.geometry.swingarm = best.arm;
    const Unit unit = desk.ledger.units().length;
    say(desk, fmt::format("Taken: the farthest point moved {} {}. Not kept until you save the bike.",
                          words::value(best.farthest.value, unit), symbol(unit)));
}

void act_on(Desk& desk, const act::TypedPoints&) {
    if (!desk.form || !leave_pad(desk) || !best_taken(*desk.form)) return;
    desk.form->body.mechanism.linkage = desk.form->taken->typed;
    desk.form->body.geometry.swingarm = desk.form->taken->typed_arm;
    desk.form->taken.reset();
}

}  // namespace restand
