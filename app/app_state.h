#pragma once
// The state of the app: the workshop as the ledger has it, where the person is, and what is half done.
// apply() turns an action into a new state and effects; nothing here draws, waits or touches a file.
//
// Invariants
//   1  A reading shows as taken only after written() has brought it back from disk.
//   2  While a field's entry is on its way to disk, a second one for it waits (deferred), so it can
//   supersede the first.
//   3  Everything that would be missed after a power cut is in the ledger or in the draft (draft.h).

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/action.h"
#include "app/effect.h"
#include "app/jobs/jobs.h"
#include "app/meeting/meeting.h"
#include "app/navigation.h"
#include "app/pad/pad.h"
#include "app/season/season.h"
#include "app/shelf/shelf.h"
#include "app/swap/solved_swap.h"
#include "app/swap/swap.h"
#include "app/task.h"
#include "app/trial/trial.h"
#include "app/workshop/workshop.h"

namespace restand {

// Long work under way: shown with its progress, can be cancelled.
struct Work { std::uint64_t job = 0; std::string what; std::uint64_t done = 0, total = 0; };

struct NoticeKey { std::string label; Action tap; };
struct AppNotice { std::string text; std::optional<NoticeKey> key{}; bool stop = false; };

// What follows once a job is on disk.
struct Pending {
    std::uint64_t job = 0;
    enum class Then {
        nothing,
        open_bike,
        open_swap,
        show_kept,
        take_person,
        show_history,
        show_parts,
        show_bike,
        open_job,
        open_item,
        show_shelf,
    } then = Then::nothing;
    std::optional<Field> field{};    // shown as 'saving'
    std::optional<Pad> pad{};        // to be given back when the disk refuses
    Id swap{};
    std::string said{};              // notice when it is on disk
    bool undo = false;               // the notice offers Undo
    std::vector<NewEntry> entries{}; // what is written
    // Set for an Undo: what it takes back, and Redo writes again
    std::optional<std::vector<NewEntry>> takes_back{};
    bool redoes = false;             // written by Redo
};

// Waits for what is on its way to disk. The swap it was meant for is part of it.
struct Deferred { Action action; Id swap; };
struct WaitingReading { Pad pad; bool confirmed; Id swap; };

// All of the state but the ledger: small enough to be copied, and put back.
struct UiState {
    bool writable = true;
    std::uint64_t device = 0;        // this one's incarnation
    std::string file_name;           // for titles and messages
    std::int64_t now_ms = 0;         // set by the app before every apply()
    Clock session;                   // the last one before the app was opened; undo goes back to here
    int utc_offset_min = 0;

    Screen screen = Screen::bikes;
    // Where Back leads from a page that is opened from anywhere; the newest last
    std::vector<Screen> trail;
    Id bike, swap, baseline, who;
    std::optional<Step6> step;       // of the open swap, as shown
    std::optional<Pad> pad;
    std::optional<BikeForm> form;
    std::string reason;              // of the baseline about to be kept
    Id reason_of;                    // the bike it was typed for
    Look look;
    std::vector<SwapPart> chosen_parts;   // to be swapped, tidy
    bool inside_open = false;             // a swap asks for the insides of the unit, too
    // How the table of a screen is sorted by one of its columns; nullopt: as its view has it
    struct Sorting { Screen screen; std::size_t column; bool falling = false; };
    std::optional<Sorting> sorting;
    Id item;                              // of the shelf, on the screen
    std::optional<Wished> wished;         // for a spring; nullopt: as it is to begin with
    Trial trial;
    Season season;
    Jobs jobs;
    Meeting meeting;
    std::optional<Work> work;        // a long task under way

    // Id of the row whose question is on the side panel; any other tap answers 'no'
    std::string asked;
    std::optional<AppNotice> notice;
    std::int64_t saved_ms = 0;       // when the last entry came back from disk
    std::vector<Pending> pending;
    std::vector<Deferred> deferred;
    // Asked for before anybody was named; done once somebody is, dropped when the page of people is left
    std::optional<Action> when_named;
    std::vector<WaitingReading> waiting;  // second readings of a field that is being saved
    // Refused by the disk, in order, until they are stored or thrown away
    std::vector<RejectedEntry> unsaved;
    std::vector<Effect> effects;     // the out-tray
    std::vector<std::vector<NewEntry>> undone;   // for Redo, newest last; emptied by anything else written
    struct Dropped { Pad pad; Screen screen; Id swap; };
    std::optional<Dropped> dropped;  // closed with something typed
    std::uint64_t next_job = 1;
};
struct AppState : UiState {
    Ledger ledger;
    // What follows from the ledger, kept
    std::unique_ptr<SwapSolver> solver = std::make_unique<SwapSolver>();
    std::unique_ptr<PlanSolver> plan_solver = std::make_unique<PlanSolver>();
};

void apply(AppState& state, const Action& action);
void written(AppState& state, std::uint64_t job, const Result<std::vector<Entry>>& entries);
void loaded(AppState& state, const std::vector<Entry>& entries);

// What the areas share to change the state.
void append(AppState& state, Pending then, std::vector<NewEntry> entries);
void say(AppState& state, std::string text, bool stop = false);
void send(AppState& state, Task task);
void work(AppState& state, Task task, std::string what);   // long: shown with its progress
bool on_its_way(const AppState& state, Pending::Then what);
void defer(AppState& state, Action action);
void show_unsaved(AppState& state);

}  // namespace restand
