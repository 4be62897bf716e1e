// Bikes, people and settings.

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "app/app_state.h"
#include "app/views/wording.h"
#include "app/workshop/bike_fields.h"
#include "core/codec/body_json.h"

namespace restand {

void act_on(AppState& state, const act::AddBike&) {
    state.notice.reset();
    const bool half_written = state.form && state.form->bike.nil() && !state.form->body.name.empty();
    visit(state, Screen::bike_form);
    if (half_written) return;
    state.form = BikeForm{};
    open_pad(state, {.of = Field::Of::bike, .bike = BikeField::name});
}

const Bike* bike_typed(const AppState& state) {
    const Bike* bike = state.form ? state.ledger.bike(state.form->bike) : nullptr;
    return bike && !(bike->body == state.form->body) ? bike : nullptr;
}

void act_on(AppState& state, const act::EditBike& edit) {
    const Bike* bike = state.ledger.bike(edit.bike);
    if (!bike) return;
    const Bike* typed = bike_typed(state);
    if (typed && typed != bike)
        say(state, "The changes to the numbers of " + typed->body.name + " were not saved.");
    if (typed != bike) state.form = BikeForm{.bike = bike->id, .body = bike->body, .half_pair = {}};
    visit(state, Screen::bike_form);
}

void act_on(AppState& state, const act::SaveBike&) {
    if (!leave_pad(state) || on_its_way(state, Pending::Then::open_bike)) return;
    if (!state.form || state.form->body.name.empty()) return;
    std::vector<Id> before;
    if (const Bike* bike = state.ledger.bike(state.form->bike)) before = bike->heads;
    append(state, {.then = Pending::Then::open_bike, .said = "Bike saved."},
           {encode(state.form->body, state.form->bike, {}, state.who, before)});
}

void act_on(AppState& state, const act::ArchiveBike& archive) {
    const Bike* bike = state.ledger.bike(archive.bike);
    if (!bike) return;
    BikeBody body = bike->body;
    body.archived = archive.archived;
    state.form.reset();
    append(state,
           {.then = Pending::Then::show_bike,
            .said = archive.archived ? "Archived. It is under 'Archived bikes', nothing is lost."
                                     : "Brought back."},
           {encode(body, bike->id, {}, state.who, bike->heads)});
}

void act_on(AppState& state, const act::RemovePair& remove) {
    if (!state.form || remove.index >= state.form->body.rear.pairs.size()) return;
    auto& pairs = state.form->body.rear.pairs;
    const auto at = pairs.begin() + static_cast<std::ptrdiff_t>(remove.index);
    state.form->pairs_out.push_back(*at);
    state.notice = AppNotice{pair_text(*at, state.ledger.units()) + " taken out of the table.",
                             NoticeKey{"Undo", act::Undo{}}};
    pairs.erase(at);
}

std::string pair_text(const std::pair<Length, Length>& pair, const UnitChoice& units) {
    return fmt::format("{} → {}", wording::value(pair.first, units), wording::length(pair.second, units));
}

bool undo_pair(AppState& state) {
    if (state.screen != Screen::bike_form || !state.form || state.form->pairs_out.empty()) return false;
    auto& pairs = state.form->body.rear.pairs;
    const auto back = state.form->pairs_out.back();
    state.form->pairs_out.pop_back();
    pairs.insert(std::upper_bound(pairs.begin(), pairs.end(), back), back);
    return true;
}

void act_on(AppState& state, const act::SayHowRead& say) {
    if (say.bike.nil()) {
        if (state.form) state.form->body.how_read = say.how;
        return;
    }
    const Bike* bike = state.ledger.bike(say.bike);
    if (!bike) return;
    BikeBody body = bike->body;
    body.how_read = say.how;
    // What else the form says and is not saved stays.
    if (state.form && state.form->bike == bike->id) {
        HowRead &form = state.form->body.how_read, was = bike->body.how_read;
        if (say.how.front_heights != was.front_heights) form.front_heights = say.how.front_heights;
        if (say.how.slack_stand != was.slack_stand) form.slack_stand = say.how.slack_stand;
    }
    append(state, {.said = "Kept with the bike's numbers.", .undo = true},
           {encode(body, bike->id, {}, state.who, bike->heads)});
}

void act_on(AppState& state, const act::SetPerson& person) {
    state.who = person.person;
    // A name half typed, or on its way to disk, is not the one that was tapped.
    if (state.pad && state.pad->field.of == Field::Of::person) state.pad.reset();
    for (Pending& p : state.pending)
        if (p.then == Pending::Then::take_person) p.then = Pending::Then::nothing;
    if (state.screen == Screen::people) leave_visited(state, Screen::bikes);
    if (const auto then = std::exchange(state.when_named, std::nullopt)) apply(state, *then);
}

void act_on(AppState& state, const act::SetUnits& units) {
    append(state, {}, {encode(UnitsBody{units.units}, {}, {}, state.who)});
}

void act_on(AppState& state, const act::SetLook& look) {
    state.look = {look.night, std::clamp(look.text_percent, 80, 200)};
}

}  // namespace restand
