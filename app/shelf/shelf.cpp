// The parts shelf: measured parts of the team, picking one for a swap, and the choice of a spring.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/app_state.h"
#include "app/views/point_wording.h"
#include "app/views/wording.h"
#include "core/codec/body_json.h"
#include "core/ledger/shelf.h"

namespace restand {

namespace {
std::string first_name(const AppState& state, SwapPart part) {
    int count = 1;
    for (const ShelfItem* item : state.ledger.shelf(true)) count += item->body.part == part;
    return fmt::format("{} {}", wording::part(part), count);
}
}  // namespace

bool has_given_name(const ShelfBody& body) {
    const std::string start = wording::part(body.part) + " ";
    return body.name.starts_with(start) && body.name.size() > start.size() &&
           body.name.find_first_not_of("0123456789", start.size()) == std::string::npos;
}

const ShelfItem* shown_item(const AppState& state) {
    return state.ledger.shelf_item(state.item);
}

void act_on(AppState& state, const act::AddToShelf& add) {
    if (on_its_way(state, Pending::Then::open_item)) return;
    append(state, {.then = Pending::Then::open_item, .said = "On the shelf.", .undo = true},
           {encode(ShelfBody{add.part, first_name(state, add.part), {}, false}, {}, {}, state.who)});
}

void act_on(AppState& state, const act::ShelveTakenOff& shelve) {
    const Swap* swap = state.ledger.swap(shelve.swap);
    if (!swap || on_its_way(state, Pending::Then::open_item)) return;
    auto body = taken_off(state.ledger, *swap, shelve.part);
    if (!body) return;
    if (body->name.empty()) body->name = first_name(state, shelve.part);
    append(state, {.then = Pending::Then::open_item, .said = "On the shelf, as it was read.", .undo = true},
           {encode(*body, {}, {}, state.who)});
}

void act_on(AppState& state, const act::OpenItem& open) {
    if (!leave_pad(state) || !state.ledger.shelf_item(open.item)) return;
    state.item = open.item;
    state.notice.reset();
    visit(state, Screen::item);
}

void act_on(AppState& state, const act::ItemGone& gone) {
    const ShelfItem* item = state.ledger.shelf_item(gone.item);
    if (!item || !leave_pad(state)) return;
    if (!state.pending.empty()) return defer(state, gone);
    ShelfBody body = item->body;
    body.gone = true;
    append(state, {.then = Pending::Then::show_shelf, .said = body.name + " is off the shelf.", .undo = true},
           {encode(body, {}, item->id, state.who, item->heads)});
}

// One edit at a time: the next edit builds on what is then on disk, or it would overwrite the first.
void act_on(AppState& state, const act::MeasureItem& measure) {
    const ShelfItem* item = state.ledger.shelf_item(measure.item);
    if (!item) return;
    if (!state.pending.empty()) return defer(state, measure);
    const Reading& reading = measure.reading;
    ShelfBody body = item->body;
    const bool name = reading.point == Point::part_name;
    if (name) {
        body.name = reading.repeats.back().text;
    } else {
        std::erase_if(body.values, [&](const Reading& r) { return r.point == reading.point; });
        body.values.push_back(reading);
    }
    append(state,
           {.field = Field{.of = Field::Of::shelf, .point = reading.point, .end = end_of(body.part)},
            .said = name ? "Called " + body.name + "."
                         : wording::label(reading.point) + " " + wording::reading(reading) + " saved",
            .undo = true},
           {encode(body, {}, item->id, state.who, item->heads)});
}

void act_on(AppState& state, const act::PickItem& pick) {
    const Swap* swap = open_swap(state);
    const ShelfItem* item = state.ledger.shelf_item(pick.item);
    if (!swap || !item || !leave_pad(state)) return;
    if (!somebody_named(state, pick)) return;
    if (!state.pending.empty()) return defer(state, pick);
    // Readings that an earlier pick brought and this one lacks are withdrawn. This pick replaces the others.
    std::vector<Id> gone = unpicked(state.ledger, *item, *swap);
    // What was set and checked with another part on does not describe this one.
    for (const auto& [spot, stored] : swap->stored_readings)
        if (spot.phase >= Phase::set && spot.end == end_of(item->body.part))
            for (const Id& id : swap->entries(spot)) gone.push_back(id);
    std::vector<NewEntry> entries;
    for (const Body& body : picked(*item, *swap)) {
        const auto* reading = std::get_if<ReadingBody>(&body);
        entries.push_back(
            encode(body, swap->bike, swap->id, state.who,
                   reading ? swap->entries(read_at(*reading, swap->parts)) : std::vector<Id>{}));
    }
    if (!gone.empty())
        entries.push_back(
            encode(RetractionBody{"another part picked"}, swap->bike, swap->id, state.who, std::move(gone)));
    append(state, {.swap = swap->id, .said = item->body.name + ": its readings are the new part's."},
           std::move(entries));
}

// --- Choice of a spring ------------------------------------------------------------------------------------

Result<SwapCase> end_as_it_is(const AppState& state, End end) {
    const Bike* bike = state.ledger.bike(state.bike);
    if (!bike) return Error{ErrorCode::not_found, "bike", ""};
    const SetUp now = setup_now(state.ledger, state.bike);
    return case_of(bike->body, end, now, now);
}

SpringWish wish_of(const AppState& state) {
    if (const auto& made = state.wished; made && made->bike == state.bike && made->end == state.season.end)
        return made->wish;
    // Initial wishes: the present sag, rounded; bands around usual values (common practice, no source).
    SpringWish wish{mm(state.season.end == End::rear ? 30 : 40), {mm(5), mm(12)}, {mm(2), mm(15)}};
    if (state.season.end == End::front) wish.free_sag = {mm(20), mm(30)};
    if (const auto now = end_as_it_is(state, state.season.end); now && now->before.rider)
        wish.rider_sag = mm(std::round(in_mm(now->before.topped_out - *now->before.rider)));
    return wish;
}

void act_on(AppState& state, const act::ShowSprings& show) {
    if (!leave_pad(state) || !state.ledger.bike(show.bike)) return;
    state.bike = show.bike;
    state.season.end = show.end;
    state.notice.reset();
    state.screen = Screen::which_spring;
}

void act_on(AppState& state, const act::Wish& by) {
    SpringWish wish = wish_of(state);
    Length* const slots[] = {&wish.rider_sag, &wish.free_sag.low, &wish.free_sag.high, &wish.preload.low,
                             &wish.preload.high};
    Length& slot = *slots[static_cast<int>(by.of)];
    slot = mm(std::max(0.0, in_mm(slot) + by.by));
    if (wish.free_sag.low > wish.free_sag.high || wish.preload.low > wish.preload.high) return;
    state.wished = Wished{state.bike, state.season.end, wish};
}

}  // namespace restand
