#pragma once
// The state of the app: the workshop as the ledger has it, where the person is, and what is half done.
// apply() turns an action into a new state and effects; nothing here draws, waits or touches a file.
//
// Invariants
//   1  A reading shows as taken only after written() has brought it back from disk.
//   2  While a field's entry is on its way to disk, a second one for it waits (deferred), so it can
//   supersede the first.
//   3  Everything that would be missed after a power cut is in the ledger or in the draft (draft.h).

#include <optional>
#include <string>
#include <vector>

#include "app/action.h"
#include "app/effect.h"
#include "app/season.h"
#include "core/exchange/draft.h"
#include "core/ledger/swap_answer.h"
#include "core/machine/linkage_fit.h"

namespace restand {

struct Pad {
    Field field;
    std::vector<Typed> repeats{};    // kept in this reading so far
    std::string entry{};             // half typed
    Unit unit = Unit::mm;
    std::string where{};
    Instrument instrument{};         // of a reading that is a number
    bool editing_where = false;      // the letters fill `where`, not the reading
    bool half_typed = false;         // from a draft: the next key begins anew, erase goes on with it
    bool anew = false;               // opened on a reading that stands: a number typed starts it anew
    std::string question{};          // 'same mark, same state?'; empty = not asked
    std::string problem{};           // what is wrong with the entry
    friend bool operator==(const Pad&, const Pad&) = default;
};

// The points that met the strut table best, taken into a form, and those that stood there before.
struct PointsTaken {
    Linkage typed, best;
    Length typed_arm, best_arm;
};
struct BikeForm {
    Id bike;                         // nil: a new one
    BikeBody body;
    std::optional<Length> half_pair; // strut length typed, its ride height not yet
    std::optional<PointsTaken> taken{};  // not in the draft: then only leaving the form takes it back
};

struct Look {
    bool night = false;
    int text_percent = 100;
    friend bool operator==(const Look&, const Look&) = default;
};

struct DeskNotice { std::string text; bool undo = false; bool stop = false; };

// What follows once a job is on disk.
struct Pending {
    std::uint64_t job = 0;
    enum class Then {
        nothing, open_bike, open_swap, show_kept, take_person, show_history, show_parts, show_bike, open_item, show_shelf,
    } then = Then::nothing;
    std::optional<Field> field{};    // shown as 'saving'
    std::optional<Pad> pad{};        // to be given back when the disk refuses
    Id swap{};
    std::string said{};              // notice when it is on disk
    bool undo = false;               // the notice offers Undo
    std::vector<NewEntry> entries{}; // what is written
};

// Waits for what is on its way to disk. The swap it was meant for is part of it.
struct Deferred { Action action; Id swap; };
struct WaitingReading { Pad pad; bool confirmed; Id swap; };

// All of a desk but its ledger: small enough to be copied, and put back.
struct DeskState {
    bool writable = true;
    std::uint64_t device = 0;        // this one's incarnation
    std::string file_name;           // for titles and messages
    std::int64_t now_ms = 0;         // set by the app before every apply()
    Clock session;                   // the last one before the app was opened; undo goes back to here
    int utc_offset_min = 0;

    Screen screen = Screen::bikes;
    Screen came_from = Screen::bikes;  // of people and settings
    Id bike, swap, baseline, who;
    std::optional<Step6> step;       // of the open swap, as shown
    std::optional<Pad> pad;
    std::optional<BikeForm> form;
    std::string reason;              // of the baseline about to be kept
    Look look;
    Season season;
    Meeting meeting;
    std::optional<Work> work;        // a long errand under way

    std::string asked;               // id of the row whose question is on the slip; any other tap answers 'no'
    std::optional<DeskNotice> notice;
    std::int64_t saved_ms = 0;       // when the last entry came back from disk
    std::vector<Pending> pending;
    std::vector<Deferred> deferred;
    std::vector<WaitingReading> waiting;  // second readings of a field that is being saved
    std::vector<KeptAside> unsaved;  // refused by the disk, in order, until they are stored or thrown away
    std::vector<Effect> effects;     // the out-tray
    std::uint64_t next_job = 1;
};
struct Desk : DeskState { Ledger ledger; };

void apply(Desk& desk, const Action& action);
void written(Desk& desk, std::uint64_t job, const Result<std::vector<Entry>>& entries);
void loaded(Desk& desk, const std::vector<Entry>& entries);
void came_back(Desk& desk, std::uint64_t job, const Result<News>& news);

// What is half done, for the next start; and back again (a draft that no longer fits is dropped).
Draft draft_of(const Desk& desk);
void take_draft(Desk& desk, const Draft& draft);

// Shared by the desk and its views.
const Swap* open_swap(const Desk& desk);                       // the swap on the screen
Step6 step_of(const Desk& desk);
// To measure next; nullopt: none left
std::optional<Field> next_field(const Desk& desk, std::optional<Field> after);
std::optional<Field> needed_field(const Desk& desk);           // first required one not yet read at this step
bool reachable(const Desk& desk, Step6 step);
std::optional<Phase> phase_of(Step6 step);                     // nullopt: the step takes no readings
bool is_text(const Field& field);
Dimension dimension_of(const Field& field);
std::optional<Typed> same_value(const Desk& desk, const Field& field);  // what 'as last' would type
bool is_answered(const Swap& swap, End end, Point point);      // the answer says what to set here
std::optional<Field> field_to_correct(const Desk& desk);   // checked and not restored: the first setting to be another
// At the front a length of the unit is a position of the tubes in the yokes.
Length fork_position(const SwapCase& swap_case, const Swap& swap, Length length);
// What stood before: in a swap the newest baseline's, outside one the bike's set-up as it is now.
std::optional<Take> last_take(const Desk& desk, const Field& field);
bool is_reading(const Field& field);                           // in a swap or outside one
// What a field of the season's forms stands at.
std::string standing_season_text(const Desk& desk, const Field& field);
SetUp setup_now(const Desk& desk, const Id& bike);
SetUp setup_tried(const Desk& desk, const Id& bike);           // as it is, with what is only tried over it
// The set-up a bike's own geometry belongs to: its newest baseline, else as it is.
SetUp setup_described(const Desk& desk, const Id& bike);
SetUp setup_then(const Desk& desk, const Entry& moment);       // as far as its entries are loaded
const ShelfItem* shown_item(const Desk& desk);                 // of the shelf; nullptr: none
// Which spring: the end as it is, as a case; and what is wished of it.
Result<SwapCase> end_as_it_is(const Desk& desk, End end);
SpringWish wish_of(const Desk& desk);
// A bike's linkage points against its strut table. Errors: missing (one of the two, the swingarm, or a
// third strut length), no_solution (the points do not close, or not with every strut).
Result<LinkageCheck> points_check(const BikeBody& body);
// Whether the form holds the best points as they were taken.
bool best_taken(const BikeForm& form);
// The way on the screen: the open one of the bike, else the one that is looked at.
struct WayShown { Id bike, target; const Way* open = nullptr; WayBack way; SetUp now, then; };
std::optional<WayShown> way_shown(const Desk& desk);
// What was typed and refused by the disk, newest of a spot; no reading of the swap until it is stored.
std::map<ReadAt, Reading> refused_readings(const Desk& desk, const Swap& swap);
bool saving(const Desk& desk, const Field& field);             // of the swap on the screen
bool saving(const Desk& desk, const Field& field, const Id& swap);

}  // namespace restand
