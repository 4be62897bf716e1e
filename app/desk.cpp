#include "app/desk.h"

#include <fmt/format.h>

#include <algorithm>

#include "app/bike_fields.h"
#include "app/desk_parts.h"
#include "app/views/words.h"
#include "core/exchange/body_json.h"

namespace restand {

void apply(Desk& desk, const Action& action) {
    desk.asked.clear();
    std::visit([&](const auto& a) { act_on(desk, a); }, action);
}

void append(Desk& desk, Pending then, std::vector<NewEntry> entries) {
    if (!desk.writable) {
        say(desk, "This workshop file is open for reading only. Nothing was changed.", true);
        return;
    }
    then.job = desk.next_job++;
    then.entries = entries;
    desk.effects.push_back(effect::Append{then.job, std::move(entries)});
    desk.pending.push_back(std::move(then));
}

void send(Desk& desk, Errand errand) {
    desk.effects.push_back(effect::Send{desk.next_job++, std::move(errand)});
}

void work(Desk& desk, Errand errand, std::string what) {
    if (desk.work) return say(desk, desk.work->what + " first; it is still going on.");
    desk.work = Work{desk.next_job, std::move(what)};
    send(desk, std::move(errand));
}

void say(Desk& desk, std::string text, bool stop) {
    desk.notice = DeskNotice{std::move(text), false, stop};
}

// --- What comes back from disk
// -------------------------------------------------------------------------------

namespace {
void follow(Desk& desk, const Pending& p, const Entry& first) {
    switch (p.then) {
        case Pending::Then::nothing:
            break;
        case Pending::Then::open_bike:
            desk.bike = first.bike.nil() ? first.id : first.bike;
            desk.form.reset();
            desk.pad.reset();
            desk.screen = Screen::bike;
            break;
        case Pending::Then::open_swap:
            act_on(desk, act::ResumeSwap{first.id});
            break;
        case Pending::Then::show_kept:
            desk.baseline = first.id;
            desk.screen = Screen::baseline;
            desk.reason.clear();
            break;
        case Pending::Then::take_person:
            act_on(desk, act::SetPerson{first.id});
            break;
        case Pending::Then::show_history:
            act_on(desk, act::Go{Screen::history, first.bike});
            break;
        case Pending::Then::show_parts:
            act_on(desk, act::Go{Screen::parts, first.bike});
            break;
        case Pending::Then::open_item:
            desk.season.item = first.id;
            desk.screen = Screen::item;
            break;
        case Pending::Then::show_shelf:
            desk.screen = Screen::shelf;
            break;
        case Pending::Then::show_bike:
            act_on(desk, act::Go{Screen::bike, first.bike});
            break;
    }
}

// "Eye to eye 310 mm"
std::string name_of(const NewEntry& entry) {
    const std::string said = words::said(entry);
    if (entry.kind == "reading") return said;
    return words::moment(entry.kind) + (said.empty() ? "" : ": " + said);
}

bool is_among(const std::vector<KeptAside>& kept, const NewEntry& entry) {
    return std::any_of(kept.begin(), kept.end(), [&](const KeptAside& k) { return k.entry == entry; });
}

// The newest by name; those before are counted.
std::string names_of(const std::vector<KeptAside>& kept) {
    constexpr std::size_t most = 4;
    const std::size_t before = kept.size() > most ? kept.size() - most : 0;
    std::string names;
    for (std::size_t i = before; i < kept.size(); ++i) names += (names.empty() ? "" : "; ") + name_of(kept[i].entry);
    return before > 0 ? fmt::format("{}; and {} before", names, before) : names;
}

// The disk refused: what was typed is named and stays in sight until it is stored or thrown away. It comes back to the
// pad, unless another field is being typed in. A second reading of the same field goes its own way.
void refused(Desk& desk, const Pending& p, const Error& error) {
    for (const NewEntry& entry : p.entries)
        if (!is_among(desk.unsaved, entry)) desk.unsaved.push_back({entry, desk.now_ms});
    show_unsaved(desk);
    say(desk, "Not saved: " + names_of(desk.unsaved) + ". " + error.detail + ". See 'Devices and copies'.", true);
    desk.deferred.clear();
    if (p.pad && p.swap == desk.swap && desk.screen == Screen::swap && !desk.pad) desk.pad = p.pad;
    keep_waiting(desk);
}

// Stored, or said anew by what was stored: taken in later it would overrule it.
void forget_unsaved(Desk& desk, const std::vector<NewEntry>& stored) {
    const auto found = [&](const KeptAside& kept) {
        return std::any_of(stored.begin(), stored.end(),
                           [&](const NewEntry& entry) { return takes_the_place_of(entry, kept.entry); });
    };
    std::erase_if(desk.unsaved, found);
    std::erase_if(desk.meeting.aside.entries, found);
}
}  // namespace

// Among what is kept aside in a file: that may not have been possible.
void show_unsaved(Desk& desk) {
    for (const KeptAside& kept : desk.unsaved)
        if (!is_among(desk.meeting.aside.entries, kept.entry)) desk.meeting.aside.entries.push_back(kept);
}

std::map<ReadAt, Reading> refused_readings(const Desk& desk, const Swap& swap) {
    std::map<ReadAt, Reading> refused;
    for (const KeptAside& kept : desk.meeting.aside.entries) {
        if (kept.entry.kind != "reading" || kept.entry.about != swap.id) continue;
        const auto body = body_from_json(kept.entry.kind, kept.entry.body);
        if (const auto* r = body ? std::get_if<ReadingBody>(&*body) : nullptr)
            refused.insert_or_assign(read_at(*r, swap.parts), r->reading);
    }
    return refused;
}

void written(Desk& desk, std::uint64_t job, const Result<std::vector<Entry>>& entries) {
    auto it = std::find_if(desk.pending.begin(), desk.pending.end(),
                           [&](const Pending& p) { return p.job == job; });
    if (it == desk.pending.end()) return;
    const Pending p = *it;
    desk.pending.erase(it);
    if (!entries) return refused(desk, p, entries.error());
    forget_unsaved(desk, p.entries);
    loaded(desk, *entries);
    desk.saved_ms = desk.now_ms;
    if (!entries->empty()) follow(desk, p, entries->front());
    const bool unread_stop = desk.notice && desk.notice->stop;
    if (!p.said.empty() && !unread_stop) desk.notice = DeskNotice{p.said, p.undo, false};
    keep_waiting(desk);
    // What waited for this one goes ahead; it may have to wait again.
    std::vector<Deferred> waiting;
    waiting.swap(desk.deferred);
    for (const Deferred& d : waiting)
        if (d.swap == desk.swap) apply(desk, d.action);
}

// What a newer Restand wrote still takes the place of what it supersedes.
void loaded(Desk& desk, const std::vector<Entry>& entries) {
    read_into(desk.ledger, entries);
}

bool on_its_way(const Desk& desk, Pending::Then what) {
    return std::any_of(desk.pending.begin(), desk.pending.end(),
                       [&](const Pending& p) { return p.then == what; });
}

void defer(Desk& desk, Action action) {
    desk.deferred.push_back({std::move(action), desk.swap});
}

// --- Where the person is
// ---------------------------------------------------------------------------------------

namespace {
bool is_aside(Screen screen) {
    return screen == Screen::people || screen == Screen::settings || screen == Screen::devices || screen == Screen::shelf ||
           screen == Screen::item;
}
bool is_of_bike(Screen screen) {
    return screen == Screen::bike || screen == Screen::baselines || screen == Screen::history ||
           screen == Screen::trend || screen == Screen::parts || screen == Screen::attitude || screen == Screen::chain;
}

// Where the title's arrow leads from here.
Screen behind(const Desk& desk) {
    switch (desk.screen) {
        case Screen::bikes:
        case Screen::bike:
            return Screen::bikes;
        case Screen::people:
        case Screen::settings:
        case Screen::devices:
        case Screen::shelf:
            return desk.came_from;
        case Screen::item:
            return Screen::shelf;
        case Screen::table:
            return Screen::devices;
        case Screen::baseline:
            return Screen::baselines;
        case Screen::bike_form:
            return desk.form && !desk.form->bike.nil() ? Screen::bike : Screen::bikes;
        case Screen::event:
        case Screen::moment:
        case Screen::compare:
            return Screen::history;
        case Screen::swap:
        case Screen::baselines:
        case Screen::history:
        case Screen::change:
        case Screen::way:
        case Screen::trend:
        case Screen::parts:
        case Screen::attitude:
        case Screen::chain:
        case Screen::choose:
        case Screen::which_spring:
            return Screen::bike;
    }
    return Screen::bikes;
}

Length chain_pitch(const Desk& desk) {
    const Bike* bike = desk.ledger.bike(desk.bike);
    return bike ? bike->body.mechanism.pitch() : usual_chain_pitch;
}

}  // namespace

void enter(Desk& desk) {
    Season& season = desk.season;
    switch (desk.screen) {
        case Screen::baselines:
            return send(desk, errand::Baselines{desk.bike});
        case Screen::history:
            season.query = HistoryQuery{.bike = desk.bike, .text = {}, .part = {}, .kinds = {}, .before = {}};
            season.asked = true;
            return send(desk, errand::History{season.query});
        case Screen::trend:
        case Screen::parts:
            season.watched = false;
            return send(desk, errand::Watch{desk.bike, season.what, season.end, season.point, chain_pitch(desk)});
        case Screen::way:
            if (const Way* open = desk.ledger.open_way(desk.bike)) return send(desk, errand::Find{open->target});
            if (!season.target.nil()) return send(desk, errand::Find{season.target});
            return;
        case Screen::devices:
            send(desk, errand::Copies{});
            send(desk, errand::Aside{});
            return send(desk, errand::Places{desk.meeting.folder});
        default:
            return;
    }
}
void act_on(Desk& desk, const act::Go& go) {
    if (!leave_pad(desk)) return;
    desk.notice.reset();
    if (is_aside(go.screen) && !is_aside(desk.screen)) desk.came_from = desk.screen;
    if (is_of_bike(go.screen) && !go.id.nil()) desk.bike = go.id;
    if (go.screen == Screen::baseline) desk.baseline = go.id;
    desk.screen = go.screen;
    enter(desk);
}

void act_on(Desk& desk, const act::Back&) {
    if (desk.pad) return act_on(desk, act::CloseTag{});
    desk.notice.reset();
    // Going back is leaving: a form that was not saved is dropped, as its screen says.
    if (desk.screen == Screen::event) desk.season.event.reset();
    if (desk.screen == Screen::parts && desk.season.part) {
        desk.season.part.reset();
        return;
    }
    const Screen to = behind(desk);
    if (desk.screen == Screen::bike_form) desk.form.reset();
    desk.screen = to;
    // The time line stays where it was left; baselines are read again.
    if (to == Screen::baselines) enter(desk);
}

// --- Bikes, people, settings
// -------------------------------------------------------------------------------------

void act_on(Desk& desk, const act::AddBike&) {
    desk.form = BikeForm{};
    desk.screen = Screen::bike_form;
    desk.notice.reset();
    open_pad(desk, {.of = Field::Of::bike, .bike = BikeField::name});
}

void act_on(Desk& desk, const act::EditBike& edit) {
    const Bike* bike = desk.ledger.bike(edit.bike);
    if (!bike) return;
    desk.form = BikeForm{.bike = bike->id, .body = bike->body, .half_pair = {}};
    desk.screen = Screen::bike_form;
}

void act_on(Desk& desk, const act::SaveBike&) {
    if (!leave_pad(desk) || on_its_way(desk, Pending::Then::open_bike)) return;
    if (!desk.form || desk.form->body.name.empty()) return;
    std::vector<Id> before;
    if (const Bike* bike = desk.ledger.bike(desk.form->bike)) before = bike->heads;
    append(desk, {.then = Pending::Then::open_bike, .said = "Bike saved."},
           {encode(desk.form->body, desk.form->bike, {}, desk.who, before)});
}

void act_on(Desk& desk, const act::ArchiveBike& archive) {
    const Bike* bike = desk.ledger.bike(archive.bike);
    if (!bike) return;
    BikeBody body = bike->body;
    body.archived = archive.archived;
    append(desk,
           {.said = archive.archived ? "Archived. It is under 'Archived bikes', nothing is lost."
                                     : "Brought back."},
           {encode(body, bike->id, {}, desk.who, bike->heads)});
}

void act_on(Desk& desk, const act::RemovePair& remove) {
    if (!desk.form || remove.index >= desk.form->body.rear.pairs.size()) return;
    auto& pairs = desk.form->body.rear.pairs;
    pairs.erase(pairs.begin() + static_cast<std::ptrdiff_t>(remove.index));
}

void act_on(Desk& desk, const act::SetPerson& person) {
    desk.who = person.person;
    if (desk.screen == Screen::people) desk.screen = desk.came_from;
}

void act_on(Desk& desk, const act::SetUnits& units) {
    append(desk, {}, {encode(UnitsBody{units.units}, {}, {}, desk.who)});
}

void act_on(Desk& desk, const act::SetLook& look) {
    desk.look = {look.night, std::clamp(look.text_percent, 80, 200)};
}

// --- Undo
// ----------------------------------------------------------------------------------------------------------

namespace {
// What is taken back, in words: undo reaches back over bikes, so it says which.
std::string taken_back(const Desk& desk, const Fact& fact) {
    const Bike* bike = desk.ledger.bike(fact.entry.bike);
    const std::string of = bike ? " (" + bike->body.name + ")" : "";
    if (const auto* r = std::get_if<ReadingBody>(&fact.body))
        return "Taken back: " + words::label(r->reading.point) + " " + words::reading(r->reading) + of;
    if (std::holds_alternative<BaselineBody>(fact.body)) return "Taken back: the kept baseline" + of;
    if (const auto* c = std::get_if<ChangeBody>(&fact.body); c && !c->values.empty())
        return "Taken back: " + words::label(c->values[0].reading.point) + " " + words::reading(c->values[0].reading) + of;
    if (std::holds_alternative<SwapEndBody>(fact.body)) return "Taken back: the end of the swap" + of;
    return "Taken back: " + words::moment(fact.entry.kind) + of;
}
}  // namespace

void act_on(Desk& desk, const act::Undo& again) {
    if (!leave_pad(desk)) return;
    desk.notice.reset();
    if (!desk.pending.empty()) return defer(desk, again);
    const auto last = desk.ledger.last_undoable(desk.session, desk.device);
    const auto undo = last ? desk.ledger.undo_of(last->entry.id, desk.who) : std::nullopt;
    if (!undo) return say(desk, "Nothing to undo since you opened Restand.");
    const bool ends = std::holds_alternative<SwapEndBody>(last->body) || std::holds_alternative<BaselineBody>(last->body);
    if (ends && !last->entry.about.nil() && desk.ledger.open_swap(last->entry.bike))
        return say(desk, "Another swap is open on this bike. Finish it or set it aside, then Undo brings the last one back.", true);
    append(desk, {.said = taken_back(desk, *last)}, {*undo});
}

void act_on(Desk& desk, const act::Ask& ask) {
    desk.asked = ask.row;
}

void act_on(Desk& desk, const act::DismissNotice&) {
    desk.notice.reset();
}

}  // namespace restand
