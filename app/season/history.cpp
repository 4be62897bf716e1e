// The history of a bike: search, open an entry, compare two entries.

#include <fmt/format.h>

#include <utility>

#include "app/app_state.h"
#include "app/views/season_wording.h"
#include "core/codec/body_json.h"

namespace restand {

void read_time_line(AppState& state) {
    state.season.query.before.reset();
    state.season.asked = true;
    state.season.outdated = false;
    send(state, task::History{state.season.query});
}

void refresh_time_line(AppState& state) {
    if (state.screen == Screen::history && state.season.outdated) read_time_line(state);
}

const Entry* moment_of(const AppState& state, const Id& id) {
    for (const Entry& e : state.season.moments)
        if (e.id == id) return &e;
    const Fact* fact = state.ledger.fact(id);
    return fact ? &fact->entry : nullptr;
}

void act_on(AppState& state, const act::FindKind& find) {
    state.season.query.kinds.clear();
    if (!find.kind.empty()) state.season.query.kinds.insert(find.kind);
    read_time_line(state);
}

void act_on(AppState& state, const act::FindPart& find) {
    state.season.query =
        HistoryQuery{.bike = state.bike, .text = {}, .part = find.part, .kinds = {}, .before = {}};
    state.screen = Screen::history;
    read_time_line(state);
}

void act_on(AppState& state, const act::FindWords& find) {
    state.season.query.text = find.words;
    read_time_line(state);
}

void act_on(AppState& state, const act::OlderMoments&) {
    Season& season = state.season;
    if (season.asked || !season.more || season.moments.empty()) return;
    const Entry& last = season.moments.back();
    season.query.before = std::pair(last.clock, last.id);
    season.asked = true;
    send(state, task::History{season.query});
}

void act_on(AppState& state, const act::OpenMoment& open) {
    const Entry* entry = moment_of(state, open.entry);
    if (!entry) return;
    state.season.moment = *entry;
    state.bike = entry->bike.nil() ? state.bike : entry->bike;
    state.screen = Screen::moment;
    state.notice.reset();
    send(state, task::Find{entry->id});
}

void act_on(AppState& state, const act::TakeForCompare& stored) {
    state.season.taken = stored.entry;
    state.screen = Screen::history;
    say(state, "Now open the other one and compare.");
}

// Settings and parts only: another bike's heights are read from other marks.
void act_on(AppState& state, const act::TakeOver& take) {
    const Entry* moment = moment_of(state, take.entry);
    const Bike *from = moment ? state.ledger.bike(moment->bike) : nullptr, *to = state.ledger.bike(take.to);
    if (!from || !to || !state.pending.empty()) return;
    if (!somebody_named(state, take)) return;
    const std::string day = wording::iso_day(moment->clock.ms, state.utc_offset_min);
    RecordBody record{day, fmt::format("{}, as on {}", from->body.name, day), {}};
    for (const auto& [place, stored] : setup_then(state.ledger, *moment).values)
        if (!is_only_read(place.second)) record.values.push_back({place.first, stored.reading});
    if (record.values.empty()) return say(state, "Nothing was set or fitted by then.");
    state.bike = to->id;
    append(state,
           {.then = Pending::Then::show_history,
            .said = "A target for " + to->body.name + ", on its time line. Nothing was changed on the bike.",
            .undo = true},
           {encode(record, to->id, {}, state.who)});
}

void act_on(AppState& state, const act::OpenBoth& both) {
    const Entry* one = moment_of(state, both.one);
    const Entry* other = both.other.nil() ? nullptr : moment_of(state, both.other);
    if (!one || (!both.other.nil() && !other)) return;
    state.season.one = *one;
    state.season.other = other ? std::optional(*other) : std::nullopt;
    // Older first: 'was' stands to the left of 'is'.
    if (other && other->clock < one->clock) std::swap(*state.season.one, *state.season.other);
    state.season.taken = {};
    visit(state, Screen::compare);
    state.notice.reset();
    send(state, task::Find{one->id});
    if (other) send(state, task::Find{other->id});
}

void act_on(AppState& state, const act::ShowSame& same) {
    state.season.same_shown = same.shown;
}

// The other baseline is retracted, not deleted: the timeline still shows it.
void act_on(AppState& state, const act::KeepThis& keep) {
    const Baseline* kept = state.ledger.baseline(keep.baseline);
    if (!kept || !state.pending.empty()) return;
    std::vector<Id> others;
    for (const Baseline* rival : rivals_of(state.ledger, *kept))
        if (rival->id != kept->id) others.push_back(rival->id);
    if (others.empty()) return;
    append(state, {.then = Pending::Then::show_bike, .said = "This one stands; the other is set aside."},
           {encode(RetractionBody{"the other one stands"}, kept->bike, kept->id, state.who, others)});
}

}  // namespace restand
