// The season: the time line, changes outside a swap, what happened, comparing, the way back, trends, parts.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/desk_parts.h"
#include "app/views/words.h"
#include "core/exchange/body_json.h"

namespace restand {

// --- How the bike stands, now and then
// ----------------------------------------------------------------------------------

SetUp setup_now(const Desk& desk, const Id& bike) {
    return setup_at(bike, desk.ledger.facts_of(bike));
}

SetUp setup_then(const Desk& desk, const Entry& moment) {
    // A baseline says all of it by itself, also one that was set aside.
    if (const auto fact = decode(moment); fact && std::holds_alternative<BaselineBody>(fact->body))
        return setup_of({moment.id, moment.bike, moment.about, std::get<BaselineBody>(fact->body), moment.clock,
                         moment.by});
    return setup_at(moment.bike, desk.ledger.facts_of(moment.bike), moment.clock);
}

std::optional<WayShown> way_shown(const Desk& desk) {
    const Bike* bike = desk.ledger.bike(desk.bike);
    if (!bike) return std::nullopt;
    WayShown shown;
    shown.bike = bike->id;
    shown.open = desk.ledger.open_way(bike->id);
    shown.target = shown.open ? shown.open->target : desk.season.target;
    const Fact* target = desk.ledger.fact(shown.target);
    if (!target) return std::nullopt;
    shown.now = setup_now(desk, bike->id);
    shown.then = setup_then(desk, target->entry);
    shown.way = way_back(bike->body, shown.now, shown.then, shown.open);
    return shown;
}

bool is_reading(const Field& field) {
    return field.of == Field::Of::reading || field.of == Field::Of::change || field.of == Field::Of::way ||
           field.of == Field::Of::tried || field.of == Field::Of::shelf;
}

// --- The time line
// ------------------------------------------------------------------------------------------------------

namespace {
void look_up(Desk& desk) {
    desk.season.query.before.reset();
    desk.season.asked = true;
    send(desk, errand::History{desk.season.query});
}

const Entry* moment_of(const Desk& desk, const Id& id) {
    for (const Entry& e : desk.season.moments)
        if (e.id == id) return &e;
    const Fact* fact = desk.ledger.fact(id);
    return fact ? &fact->entry : nullptr;
}
}  // namespace

void act_on(Desk& desk, const act::FindKind& find) {
    desk.season.query.kinds.clear();
    if (!find.kind.empty()) desk.season.query.kinds.insert(find.kind);
    look_up(desk);
}

void act_on(Desk& desk, const act::FindPart& find) {
    desk.season.query = HistoryQuery{.bike = desk.bike, .text = {}, .part = find.part, .kinds = {}, .before = {}};
    desk.screen = Screen::history;
    look_up(desk);
}

void act_on(Desk& desk, const act::FindWords& find) {
    desk.season.query.text = find.words;
    look_up(desk);
}

void act_on(Desk& desk, const act::OlderMoments&) {
    Season& season = desk.season;
    if (season.asked || !season.more || season.moments.empty()) return;
    const Entry& last = season.moments.back();
    season.query.before = std::pair(last.clock, last.id);
    season.asked = true;
    send(desk, errand::History{season.query});
}

void act_on(Desk& desk, const act::OpenMoment& open) {
    const Entry* entry = moment_of(desk, open.entry);
    if (!entry) return;
    desk.season.moment = *entry;
    desk.bike = entry->bike.nil() ? desk.bike : entry->bike;
    desk.screen = Screen::moment;
    desk.notice.reset();
    send(desk, errand::Find{entry->id});
    send(desk, errand::SetUp{desk.bike, entry->clock});
}

void act_on(Desk& desk, const act::TakeForCompare& take) {
    desk.season.taken = take.entry;
    desk.screen = Screen::history;
    say(desk, "Now open the other one and compare.");
}

void act_on(Desk& desk, const act::OpenBoth& both) {
    const Entry* one = moment_of(desk, both.one);
    const Entry* other = both.other.nil() ? nullptr : moment_of(desk, both.other);
    if (!one || (!both.other.nil() && !other)) return;
    desk.season.one = *one;
    desk.season.other = other ? std::optional(*other) : std::nullopt;
    // Older first: 'was' stands left of 'is'.
    if (other && other->clock < one->clock) std::swap(*desk.season.one, *desk.season.other);
    desk.season.taken = {};
    desk.screen = Screen::compare;
    desk.notice.reset();
    send(desk, errand::SetUp{one->bike, one->clock});
    if (other) send(desk, errand::SetUp{other->bike, other->clock});
}

void act_on(Desk& desk, const act::ShowSame& same) {
    desk.season.same_shown = same.shown;
}

// The other one is set aside, not lost: the time line goes on showing it.
void act_on(Desk& desk, const act::KeepThis& keep) {
    const Baseline* kept = desk.ledger.baseline(keep.baseline);
    if (!kept || !desk.pending.empty()) return;
    std::vector<Id> others;
    for (const Baseline* rival : rivals_of(desk.ledger, *kept))
        if (rival->id != kept->id) others.push_back(rival->id);
    if (others.empty()) return;
    append(desk, {.then = Pending::Then::show_bike, .said = "This one stands; the other is set aside.", .undo = true},
           {encode(RetractionBody{"the other one stands"}, kept->bike, kept->id, desk.who, others)});
}

// --- Changes outside a swap
// ---------------------------------------------------------------------------------------------

namespace {
constexpr std::int64_t one_go_ms = 60'000;  // taps on one setting within a minute are one change

// What the person has just changed at this place, to be replaced by the sum of the taps.
const Fact* same_go(const Desk& desk, End end, Point point) {
    const Fact* newest = nullptr;
    for (const Fact* f : desk.ledger.facts_of(desk.bike)) {
        if (f->entry.kind != "change" && f->entry.kind != "tick") continue;
        if (desk.ledger.superseded(f->entry.id)) continue;
        if (!newest || newest->entry.clock < f->entry.clock) newest = f;
    }
    if (!newest || newest->entry.by != desk.who || std::abs(desk.now_ms - newest->entry.clock.ms) > one_go_ms)
        return nullptr;
    const auto* change = std::get_if<ChangeBody>(&newest->body);
    const bool same = change && change->values.size() == 1 && change->values[0].end == end &&
                      change->values[0].reading.point == point;
    return same ? newest : nullptr;
}

// "rider +1.4 mm", as far as it can be said.
std::string effect_of(const Desk& desk, End end, Point point, const SetValue& value) {
    const Bike* bike = desk.ledger.bike(desk.bike);
    if (!bike) return "";
    const SetUp before = setup_now(desk, desk.bike);
    SetUp after = before;
    after.values[{end, point}].reading = value.reading;
    const auto change = stance_change(bike->body, end, before, after);
    if (!change) return "";
    const UnitChoice units = desk.ledger.units();
    std::string text;
    const auto add = [&](const char* what, const std::optional<Length>& by) {
        if (by && std::fabs(by->value) >= 0.05)
            text += fmt::format(" · {} {}", what, words::signed_value(by->value, units.length));
    };
    add("topped out", change->topped_out);
    add("static", change->static_);
    add("rider", change->rider);
    if (!text.empty()) text += " " + std::string(symbol(units.length));
    if (change->ratio) text += fmt::format(" · gearing {:+.1f} %", 100 * (*change->ratio - 1));
    return text;
}

void append_change(Desk& desk, const SetValue& value, std::vector<Id> supersedes) {
    const std::string effect = effect_of(desk, value.end, value.reading.point, value);
    append(desk,
           {.field = Field{.of = Field::Of::change, .point = value.reading.point, .end = value.end},
            .said = fmt::format("{} {}{}", words::label(value.reading.point), words::reading(value.reading),
                                effect),
            .undo = true},
           {encode(ChangeBody{{}, {value}}, desk.bike, {}, desk.who, std::move(supersedes))});
}
}  // namespace

void act_on(Desk& desk, const act::StartChange& start) {
    if (!leave_pad(desk) || !desk.ledger.bike(start.bike)) return;
    desk.bike = start.bike;
    desk.notice.reset();
    desk.screen = Screen::change;
}

void act_on(Desk& desk, const act::Nudge& nudge) {
    if (!leave_pad(desk)) return;
    if (desk.who.nil()) return act_on(desk, act::OpenTag{{.of = Field::Of::change, .point = nudge.point, .end = nudge.end}});
    if (!desk.pending.empty()) return defer(desk, nudge);
    const Field field{.of = Field::Of::change, .point = nudge.point, .end = nudge.end};
    const auto stands = last_take(desk, field);
    if (!stands) return act_on(desk, act::OpenTag{field});
    Reading reading = stands->reading;
    const Unit unit = reading.repeats.back().unit;
    const double value = measured(reading).value + nudge.by;
    // To the hundredth of a millimetre: half turns add up.
    const bool fine = dimension_of(unit) == Dimension::length && unit == Unit::mm;
    reading.repeats = {Typed{fine ? fmt::format("{:.2f}", value) : words::plain(value, unit), unit}};
    if (!validate(reading)) return say(desk, "It is at its end.");
    std::vector<Id> replaced;
    if (const Fact* last = same_go(desk, nudge.end, nudge.point)) replaced = {last->entry.id};
    append_change(desk, {nudge.end, std::move(reading)}, std::move(replaced));
}

void keep_outside_swap(Desk& desk, const Field& field, const Reading& reading) {
    if (field.of == Field::Of::tried) return keep_tried(desk, field.end, reading);
    if (field.of == Field::Of::change) return append_change(desk, {field.end, reading}, {});
    const Way* way = desk.ledger.open_way(desk.bike);
    if (!way) return;
    const std::string key = action_key(Doing::measure, field.end, field.point);
    append(desk,
           {.field = field,
            .said = words::label(field.point) + " " + words::reading(reading) + " saved",
            .undo = true},
           {encode(TickBody{key, {{field.end, reading}}}, desk.bike, way->id, desk.who)});
}

// --- What happened
// ------------------------------------------------------------------------------------------------------

namespace {
std::string* text_of(EventBody& body, EventField field) {
    switch (field) {
        case EventField::day:
            return &body.day;
        case EventField::circuit:
            return &body.circuit;
        case EventField::session:
            return &body.session;
        case EventField::weather:
            return &body.weather;
        case EventField::tyre:
            return &body.tyre;
        case EventField::words:
            return &body.words;
        default:
            return nullptr;
    }
}

std::optional<double>* number_of(EventBody& body, EventField field) {
    switch (field) {
        case EventField::distance:
            return &body.distance_km;
        case EventField::running:
            return &body.running_h;
        case EventField::air:
            return &body.air_c;
        case EventField::track:
            return &body.track_c;
        default:
            return nullptr;
    }
}

std::optional<double> number_of(const PartBody& body, PartField field) {
    switch (field) {
        case PartField::limit_km:
            return body.limit_km;
        case PartField::limit_h:
            return body.limit_h;
        case PartField::used_km:
            return body.used_km;
        case PartField::used_h:
            return body.used_h;
        case PartField::name:
            break;
    }
    return std::nullopt;
}

void set_number(PartBody& body, PartField field, double v) {
    if (field == PartField::limit_km) body.limit_km = v;
    if (field == PartField::limit_h) body.limit_h = v;
    if (field == PartField::used_km) body.used_km = v;
    if (field == PartField::used_h) body.used_h = v;
}

double typed_number(const std::string& text) {
    const auto typed = read_typed(text, Unit::one);
    return typed ? typed_value(*typed) : 0;
}
}  // namespace

std::string standing_season_text(const Desk& desk, const Field& field) {
    if (field.of == Field::Of::find) return desk.season.query.text;
    if (field.of == Field::Of::device) return desk.meeting.own_name;
    if (field.of == Field::Of::folder) return desk.meeting.folder;
    if (field.of == Field::Of::event && desk.season.event) {
        EventBody body = desk.season.event->body;
        if (const std::string* text = text_of(body, field.event)) return *text;
        const auto* number = number_of(body, field.event);
        return number && *number ? words::plain(**number, Unit::one) : "";
    }
    if (field.of == Field::Of::part && desk.season.part) {
        if (field.part == PartField::name) return desk.season.part->body.name;
        const auto number = number_of(desk.season.part->body, field.part);
        return number ? words::plain(*number, Unit::one) : "";
    }
    return {};
}

void keep_season_field(Desk& desk, const Field& field, const std::string& text) {
    if (field.of == Field::Of::find) return act_on(desk, act::FindWords{text});
    if (field.of == Field::Of::folder) {
        desk.meeting.folder = text;
        return send(desk, errand::Places{text});
    }
    if (field.of == Field::Of::device) {
        const Device* device = desk.ledger.device(desk.device);
        desk.meeting.own_name = text;
        return append(desk, {.said = "This device is called " + text + "."},
                      {encode(DeviceBody{text, fmt::format("{:016x}", desk.device), {}}, {}, {}, desk.who,
                              device ? device->heads : std::vector<Id>{})});
    }
    if (field.of == Field::Of::event && desk.season.event) {
        EventBody& body = desk.season.event->body;
        if (std::string* slot = text_of(body, field.event)) *slot = text;
        if (auto* slot = number_of(body, field.event))
            *slot = text.empty() ? std::nullopt : std::optional(typed_number(text));
    }
    if (field.of == Field::Of::part && desk.season.part) {
        PartBody& body = desk.season.part->body;
        if (field.part == PartField::name)
            body.name = text;
        else
            set_number(body, field.part, typed_number(text));
    }
}

void act_on(Desk& desk, const act::StartEvent& start) {
    if (!leave_pad(desk)) return;
    EventBody body;
    body.day = words::iso_day(desk.now_ms, desk.utc_offset_min);
    // The circuit of the last few days is most likely today's.
    for (const Fact* f : desk.ledger.facts_of(start.bike))
        if (const auto* last = std::get_if<EventBody>(&f->body);
            last && f->entry.clock.ms > desk.now_ms - 4 * 86'400'000LL)
            body.circuit = last->circuit;
    desk.bike = start.bike;
    desk.season.event = EventForm{start.bike, std::move(body)};
    desk.notice.reset();
    desk.screen = Screen::event;
}

void act_on(Desk& desk, const act::SaveEvent&) {
    if (!leave_pad(desk) || !desk.season.event || on_its_way(desk, Pending::Then::show_history)) return;
    const EventForm form = *desk.season.event;
    if (form.body == EventBody{.day = form.body.day, .circuit = {}, .session = {}, .weather = {}, .tyre = {}, .words = {},
                               .distance_km = {}, .running_h = {}, .air_c = {}, .track_c = {}})
        return say(desk, "Nothing to save yet: a circuit, a session or a word is enough.");
    append(desk, {.then = Pending::Then::show_history, .said = "Saved.", .undo = true},
           {encode(form.body, form.bike, {}, desk.who)});
    desk.season.event.reset();
}

// --- The way back
// -------------------------------------------------------------------------------------------------------

void act_on(Desk& desk, const act::ShowWay& show) {
    if (!leave_pad(desk)) return;
    const Entry* target = moment_of(desk, show.target);
    const Way* open = desk.ledger.open_way(show.bike);
    if (!target && !open) return;
    desk.bike = show.bike;
    if (target) {
        desk.season.target = target->id;
        send(desk, errand::Find{target->id});
        send(desk, errand::SetUp{show.bike, target->clock});
    } else {
        send(desk, errand::Find{open->target});
    }
    desk.notice.reset();
    desk.screen = Screen::way;
}

void act_on(Desk& desk, const act::BeginWay&) {
    if (!desk.pending.empty() || desk.ledger.open_way(desk.bike) || desk.season.target.nil()) return;
    if (desk.who.nil()) return act_on(desk, act::OpenTag{{.of = Field::Of::way}});
    append(desk, {}, {encode(WayBody{desk.season.target}, desk.bike, {}, desk.who)});
}

void act_on(Desk& desk, const act::TickAction& tick) {
    if (!leave_pad(desk)) return;
    if (!desk.pending.empty()) return defer(desk, tick);
    const auto shown = way_shown(desk);
    if (!shown || !shown->open) return;
    const auto& actions = shown->way.actions;
    const auto it = std::find_if(actions.begin(), actions.end(), [&](const WayAction& a) { return a.key == tick.key; });
    if (it == actions.end()) return;
    if (it->doing == Doing::measure)
        return act_on(desk, act::OpenTag{{.of = Field::Of::way, .point = it->point, .end = it->end}});
    append(desk, {.said = "Done: " + words::action(*it, desk.ledger.units()), .undo = true},
           {encode(TickBody{it->key, done(*it)}, desk.bike, shown->open->id, desk.who)});
}

void act_on(Desk& desk, const act::EndWay& end) {
    if (!leave_pad(desk)) return;
    const Way* way = desk.ledger.open_way(desk.bike);
    if (!way || !desk.pending.empty()) return;
    append(desk,
           {.then = Pending::Then::show_bike,
            .said = end.reached ? "The way back is done." : "The way back is left; what was done stays.",
            .undo = true},
           {encode(WayEndBody{end.reached}, desk.bike, way->id, desk.who)});
}

// --- Trends and parts
// --------------------------------------------------------------------------------------------------

void act_on(Desk& desk, const act::ShowTrend& show) {
    if (!leave_pad(desk)) return;
    desk.season.what = show.what;
    desk.season.end = show.end;
    desk.season.point = show.point;
    act_on(desk, act::Go{Screen::trend, show.bike});
}

void act_on(Desk& desk, const act::StartPart& start) {
    if (!leave_pad(desk)) return;
    PartForm form{start.bike, start.part, {}};
    for (const PartUse& use : desk.season.parts)
        if (use.part == start.part)
            form.body = PartBody{use.name, use.limit_km, use.limit_h, use.km, use.hours, false};
    desk.season.part = form;
    desk.bike = start.bike;
    desk.screen = Screen::parts;
    if (start.part.nil()) open_pad(desk, {.of = Field::Of::part, .part = PartField::name});
}

namespace {
void write_part(Desk& desk, const Id& bike, const Id& part, const PartBody& body, std::string said) {
    std::vector<Id> before;
    for (const PartUse& use : desk.season.parts)
        if (use.part == part) before = {use.head};
    append(desk, {.then = Pending::Then::show_parts, .said = std::move(said), .undo = true},
           {encode(body, bike, part, desk.who, before)});
}

std::optional<PartBody> body_of(const Desk& desk, const Id& part) {
    for (const PartUse& use : desk.season.parts)
        if (use.part == part) return PartBody{use.name, use.limit_km, use.limit_h, use.km, use.hours, false};
    return std::nullopt;
}
}  // namespace

void act_on(Desk& desk, const act::SavePart&) {
    if (!leave_pad(desk) || !desk.season.part || on_its_way(desk, Pending::Then::show_parts)) return;
    const PartForm form = *desk.season.part;
    if (form.body.name.empty()) return say(desk, "A name is enough to begin.");
    write_part(desk, form.bike, form.part, form.body, form.body.name + " saved.");
    desk.season.part.reset();
}

void act_on(Desk& desk, const act::Serviced& serviced) {
    auto body = body_of(desk, serviced.part);
    if (!body || on_its_way(desk, Pending::Then::show_parts)) return;
    body->used_km = body->used_h = 0;
    write_part(desk, desk.bike, serviced.part, *body, body->name + " serviced: counted from today.");
    desk.season.part.reset();
}

void act_on(Desk& desk, const act::PartGone& gone) {
    auto body = body_of(desk, gone.part);
    if (!body || on_its_way(desk, Pending::Then::show_parts)) return;
    body->gone = true;
    write_part(desk, desk.bike, gone.part, *body, body->name + " is no longer on the bike.");
    desk.season.part.reset();
}

}  // namespace restand
