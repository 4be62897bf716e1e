#pragma once
// Navigation between screens, and what every screen has: Undo, the notice, a question.

#include "app/action.h"
#include "core/ledger/entry.h"

namespace restand {

enum class Screen {
    bikes,
    bike,
    bike_form,
    swap,
    baselines,
    baseline,
    people,
    settings,
    history,
    moment,
    change,
    event,
    compare,
    plan,
    trend,
    parts,
    devices,
    table,
    attitude,
    chain,
    choose,
    shelf,
    item,
    which_spring,
    keys,
    jobs,
    job,
    ready,
};

namespace act {
struct Go { Screen screen; Id id; friend bool operator==(const Go&, const Go&) = default; };
struct Back {};
struct Ask { std::string row; };                   // asks for confirmation before the row acts
struct Undo { std::vector<Id> entries{}; };        // of these, written together; empty: the newest
struct Redo {};                                    // what the last Undo took back
struct PutBack {};                                 // the typed number that a closed pad dropped
struct DismissNotice {};
struct Tell { std::string text; };                 // says it in the notice
struct SortBy { std::size_t column; };             // the table on the screen; again: the other way round
}  // namespace act

void act_on(AppState&, const act::Go&);
void act_on(AppState&, const act::Back&);
void act_on(AppState&, const act::Ask&);
void act_on(AppState&, const act::Undo&);
void act_on(AppState&, const act::Redo&);
void act_on(AppState&, const act::PutBack&);
void act_on(AppState&, const act::DismissNotice&);
void act_on(AppState&, const act::Tell&);
void act_on(AppState&, const act::SortBy&);
bool is_about_bike(Screen screen);   // its page shows the bike in hand; a job can be written down there
void enter(AppState& state);   // asks for what the screen needs from disk
// To a page that is opened from anywhere (people, settings, the bike's form …): Back returns to the
// present one.
void visit(AppState& state, Screen screen);
// From such a page to the one it was opened from; `otherwise` if there is none.
void leave_visited(AppState& state, Screen otherwise);

}  // namespace restand
