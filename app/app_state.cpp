#include "app/app_state.h"

#include <fmt/format.h>

#include <algorithm>

#include "app/views/season_wording.h"
#include "core/codec/body_json.h"

namespace restand {

namespace {
// What was said on one page is not said on the next: drops a notice that is still there when the page changes.
class NoticeOfPage {
public:
    explicit NoticeOfPage(AppState& state)
        : state_(state), screen_(state.screen), said_(state.notice ? state.notice->text : "") {}
    ~NoticeOfPage() {
        const auto& notice = state_.notice;
        if (state_.screen != screen_ && notice && !notice->stop && notice->text == said_)
            state_.notice.reset();
    }
    NoticeOfPage(const NoticeOfPage&) = delete;
    NoticeOfPage& operator=(const NoticeOfPage&) = delete;

private:
    AppState& state_;
    Screen screen_;
    std::string said_;
};
}  // namespace

void apply(AppState& state, const Action& action) {
    const NoticeOfPage notice(state);
    state.asked.clear();
    action.apply(state);
    if (state.screen != Screen::people) state.when_named.reset();
    refresh_time_line(state);
}

void append(AppState& state, Pending then, std::vector<NewEntry> entries) {
    if (!state.writable) {
        say(state, "This workshop file is open for reading only. Nothing was changed.", true);
        return;
    }
    then.job = state.next_job++;
    then.entries = entries;
    state.effects.push_back(effect::Append{then.job, std::move(entries)});
    state.pending.push_back(std::move(then));
}

void send(AppState& state, Task task) {
    state.effects.push_back(effect::Send{state.next_job++, std::move(task)});
}

void work(AppState& state, Task task, std::string what) {
    if (state.work) return say(state, state.work->what + " first; it is still going on.");
    state.work = Work{state.next_job, std::move(what)};
    send(state, std::move(task));
}

void say(AppState& state, std::string text, bool stop) {
    state.notice = AppNotice{std::move(text), {}, stop};
}

namespace {
void follow(AppState& state, const Pending& p, const Entry& first) {
    switch (p.then) {
        case Pending::Then::nothing:
            break;
        case Pending::Then::open_bike:
            state.bike = first.bike.nil() ? first.id : first.bike;
            state.form.reset();
            state.pad.reset();
            // A new bike's page, or back to where a number of the bike was missing.
            if (state.screen == Screen::bike_form && !state.trail.empty() &&
                state.trail.back() != Screen::bikes)
                leave_visited(state, Screen::bike), enter(state);
            else
                state.trail.clear(), state.screen = Screen::bike;
            break;
        case Pending::Then::open_swap:
            act_on(state, act::ResumeSwap{first.id});
            break;
        case Pending::Then::show_kept:
            state.baseline = first.id;
            state.screen = Screen::baseline;
            state.reason.clear();
            break;
        case Pending::Then::take_person:
            act_on(state, act::SetPerson{first.id});
            break;
        case Pending::Then::show_history:
            act_on(state, act::Go{Screen::history, first.bike});
            break;
        case Pending::Then::show_parts:
            act_on(state, act::Go{Screen::parts, first.bike});
            break;
        case Pending::Then::open_job:
            // Unless the person is at another one by then, or writes the next one.
            if (state.screen == Screen::job && state.jobs.job.nil() && !state.pad) state.jobs.job = first.id;
            break;
        case Pending::Then::open_item:
            state.item = first.id;
            visit(state, Screen::item);
            break;
        case Pending::Then::show_shelf:
            visit(state, Screen::shelf);
            break;
        case Pending::Then::show_bike:
            act_on(state, act::Go{Screen::bike, first.bike});
            break;
    }
}

// "Eye to eye 310 mm"
std::string entry_name(const NewEntry& entry) {
    const std::string said = wording::said(entry);
    if (entry.kind == "reading") return said;
    return wording::moment(entry.kind) + (said.empty() ? "" : ": " + said);
}

bool is_among(const std::vector<RejectedEntry>& kept, const NewEntry& entry) {
    return std::any_of(kept.begin(), kept.end(), [&](const RejectedEntry& k) { return k.entry == entry; });
}

// The newest by name; those before are counted.
std::string entry_names(const std::vector<RejectedEntry>& kept) {
    constexpr std::size_t most = 4;
    const std::size_t before = kept.size() > most ? kept.size() - most : 0;
    std::string names;
    for (std::size_t i = before; i < kept.size(); ++i)
        names += (names.empty() ? "" : "; ") + entry_name(kept[i].entry);
    return before > 0 ? fmt::format("{}; and {} before", names, before) : names;
}

// The disk refused: what was typed is named and stays in sight until it is stored or thrown away. It comes
// back to the pad, unless another field is being typed in. A second reading of the same field goes its own
// way.
void refused(AppState& state, const Pending& p, const Error& error) {
    for (const NewEntry& entry : p.entries)
        if (!is_among(state.unsaved, entry)) state.unsaved.push_back({entry, state.now_ms});
    show_unsaved(state);
    say(state,
        "Not saved: " + entry_names(state.unsaved) + ". " + error.detail + ". See 'Devices and copies'.",
        true);
    state.deferred.clear();
    if (p.pad && p.swap == state.swap && state.screen == Screen::swap && !state.pad) state.pad = p.pad;
    keep_waiting(state);
}

std::vector<Id> ids_of(const std::vector<Entry>& entries) {
    std::vector<Id> ids;
    for (const Entry& e : entries) ids.push_back(e.id);
    return ids;
}

bool can_come_back(const std::vector<NewEntry>& entries) {
    static constexpr std::string_view kinds[] = {"reading", "change", "event", "baseline", "swap_end"};
    return !entries.empty() && std::all_of(entries.begin(), entries.end(), [](const NewEntry& entry) {
        return std::find(std::begin(kinds), std::end(kinds), entry.kind) != std::end(kinds);
    });
}

// What Redo would write. The copy that an Undo wrote is superseded by what it took back.
void remember_undone(AppState& state, const Pending& p, const std::vector<Entry>& written) {
    if (!p.takes_back) {
        if (!p.redoes && !p.entries.empty()) state.undone.clear();
        return;
    }
    // A part or a thing that an edit replaced is not written again: others hang on its entries.
    if (!can_come_back(*p.takes_back)) return state.undone.clear();
    std::vector<NewEntry> again = *p.takes_back;
    for (NewEntry& entry : again) {
        entry.supersedes.clear();
        for (const Entry& copy : written)
            if (copy.kind == entry.kind && copy.about == entry.about && copy.bike == entry.bike)
                entry.supersedes.push_back(copy.id);
    }
    state.undone.push_back(std::move(again));
}

// Stored, or said anew by what was stored: taken in later it would overrule it.
void forget_unsaved(AppState& state, const std::vector<NewEntry>& stored) {
    const auto found = [&](const RejectedEntry& kept) {
        return std::any_of(stored.begin(), stored.end(),
                           [&](const NewEntry& entry) { return takes_the_place_of(entry, kept.entry); });
    };
    std::erase_if(state.unsaved, found);
    std::erase_if(state.meeting.rejected.entries, found);
}
}  // namespace

// Among what is kept aside in a file: that may not have been possible.
void show_unsaved(AppState& state) {
    for (const RejectedEntry& kept : state.unsaved)
        if (!is_among(state.meeting.rejected.entries, kept.entry))
            state.meeting.rejected.entries.push_back(kept);
}

void written(AppState& state, std::uint64_t job, const Result<std::vector<Entry>>& entries) {
    const NoticeOfPage notice(state);
    auto it = std::find_if(state.pending.begin(), state.pending.end(),
                           [&](const Pending& p) { return p.job == job; });
    if (it == state.pending.end()) return;
    const Pending p = *it;
    state.pending.erase(it);
    if (!entries) return refused(state, p, entries.error());
    forget_unsaved(state, p.entries);
    loaded(state, *entries);
    state.saved_ms = state.now_ms;
    if (!entries->empty()) {
        state.season.outdated = true;
        follow(state, p, entries->front());
    }
    if (state.screen == Screen::baseline && !state.ledger.baseline(state.baseline))
        state.screen = Screen::baselines;  // it was taken back
    refresh_time_line(state);              // what was written or taken back on it
    const bool unread_stop = state.notice && state.notice->stop;
    if (!p.said.empty() && !unread_stop) {
        state.notice = AppNotice{p.said};
        if (p.takes_back && can_come_back(*p.takes_back))
            state.notice->key = NoticeKey{"Put it back", act::Redo{}};
        else if (p.undo)
            state.notice->key = NoticeKey{"Undo", act::Undo{ids_of(*entries)}};
    }
    remember_undone(state, p, *entries);
    // The pad shows a stored reading: as it stands now.
    if (state.pad && state.pad->anew && !state.pad->editing_where) open_pad(state, Field(state.pad->field));
    keep_waiting(state);
    // What waited for this one goes ahead; it may have to wait again.
    std::vector<Deferred> waiting;
    waiting.swap(state.deferred);
    for (const Deferred& d : waiting)
        if (d.swap == state.swap) apply(state, d.action);
}

// What a newer Restand wrote still takes the place of what it supersedes.
void loaded(AppState& state, const std::vector<Entry>& entries) {
    read_into(state.ledger, entries);
}

bool on_its_way(const AppState& state, Pending::Then what) {
    return std::any_of(state.pending.begin(), state.pending.end(),
                       [&](const Pending& p) { return p.then == what; });
}

void defer(AppState& state, Action action) {
    state.deferred.push_back({std::move(action), state.swap});
}

}  // namespace restand
