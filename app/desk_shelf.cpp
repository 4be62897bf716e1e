// The parts shelf: what the team has, measured; picked in a swap; which spring would do.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/desk_parts.h"
#include "app/views/words.h"
#include "core/exchange/body_json.h"
#include "core/ledger/shelf.h"

namespace restand {

namespace {
std::string first_name(const Desk& desk, SwapPart part) {
    int count = 1;
    for (const ShelfItem* item : desk.ledger.shelf(true)) count += item->body.part == part;
    return fmt::format("{} {}", words::part(part), count);
}
}  // namespace

const ShelfItem* shown_item(const Desk& desk) {
    return desk.ledger.shelf_item(desk.season.item);
}

void act_on(Desk& desk, const act::AddToShelf& add) {
    if (on_its_way(desk, Pending::Then::open_item)) return;
    append(desk, {.then = Pending::Then::open_item, .said = "On the shelf.", .undo = true},
           {encode(ShelfBody{add.part, first_name(desk, add.part), {}, false}, {}, {}, desk.who)});
}

void act_on(Desk& desk, const act::OpenItem& open) {
    if (!leave_pad(desk) || !desk.ledger.shelf_item(open.item)) return;
    desk.season.item = open.item;
    desk.notice.reset();
    desk.screen = Screen::item;
}

void act_on(Desk& desk, const act::ItemGone& gone) {
    const ShelfItem* item = desk.ledger.shelf_item(gone.item);
    if (!item || !leave_pad(desk)) return;
    if (!desk.pending.empty()) return defer(desk, gone);
    ShelfBody body = item->body;
    body.gone = true;
    append(desk, {.then = Pending::Then::show_shelf, .said = body.name + " is off the shelf.", .undo = true},
           {encode(body, {}, item->id, desk.who, item->heads)});
}

// One edit at a time: the next is made on what is then on disk, or it would take the first one's place.
void act_on(Desk& desk, const act::MeasureItem& measure) {
    const ShelfItem* item = desk.ledger.shelf_item(measure.item);
    if (!item) return;
    if (!desk.pending.empty()) return defer(desk, measure);
    const Reading& reading = measure.reading;
    ShelfBody body = item->body;
    const bool name = reading.point == Point::part_name;
    if (name) {
        body.name = reading.repeats.back().text;
    } else {
        std::erase_if(body.values, [&](const Reading& r) { return r.point == reading.point; });
        body.values.push_back(reading);
    }
    append(desk,
           {.field = Field{.of = Field::Of::shelf, .point = reading.point, .end = end_of(body.part)},
            .said = name ? "Called " + body.name + "."
                         : words::label(reading.point) + " " + words::reading(reading) + " saved",
            .undo = true},
           {encode(body, {}, item->id, desk.who, item->heads)});
}

void act_on(Desk& desk, const act::PickItem& pick) {
    const Swap* swap = open_swap(desk);
    const ShelfItem* item = desk.ledger.shelf_item(pick.item);
    if (!swap || !item || !leave_pad(desk)) return;
    if (desk.who.nil()) return act_on(desk, act::Go{Screen::people, {}});
    if (!desk.pending.empty()) return defer(desk, pick);
    // What an earlier pick brought and this one does not is taken back; the rest this one takes the place of.
    std::vector<Id> gone = unpicked(desk.ledger, *item, *swap);
    std::vector<NewEntry> entries;
    for (const Body& body : picked(*item, *swap)) {
        const auto* reading = std::get_if<ReadingBody>(&body);
        entries.push_back(
            encode(body, swap->bike, swap->id, desk.who,
                   reading ? swap->entries(read_at(*reading, swap->parts)) : std::vector<Id>{}));
    }
    if (!gone.empty())
        entries.push_back(
            encode(RetractionBody{"another part picked"}, swap->bike, swap->id, desk.who, std::move(gone)));
    append(desk, {.swap = swap->id, .said = item->body.name + ": its readings are the new part's."},
           std::move(entries));
}

// --- Which spring
// -------------------------------------------------------------------------------------------------------

Result<SwapCase> end_as_it_is(const Desk& desk, End end) {
    const Bike* bike = desk.ledger.bike(desk.bike);
    if (!bike) return Error{ErrorCode::not_found, "bike", ""};
    const SetUp now = setup_now(desk, desk.bike);
    return case_of(bike->body, end, now, now);
}

SpringWish wish_of(const Desk& desk) {
    if (desk.season.wish) return *desk.season.wish;
    // To begin with: the sag there is, rounded; bands about what is usual (common practice, no source).
    SpringWish wish{mm(desk.season.end == End::rear ? 30 : 40), {mm(5), mm(12)}, {mm(2), mm(15)}};
    if (desk.season.end == End::front) wish.free_sag = {mm(20), mm(30)};
    if (const auto now = end_as_it_is(desk, desk.season.end); now && now->before.rider)
        wish.rider_sag = mm(std::round(in_mm(now->before.topped_out - *now->before.rider)));
    return wish;
}

void act_on(Desk& desk, const act::ShowSprings& show) {
    if (!leave_pad(desk) || !desk.ledger.bike(show.bike)) return;
    desk.bike = show.bike;
    desk.season.end = show.end;
    desk.season.wish.reset();
    desk.notice.reset();
    desk.screen = Screen::which_spring;
}

void act_on(Desk& desk, const act::Wish& by) {
    SpringWish wish = wish_of(desk);
    Length* const slots[] = {&wish.rider_sag, &wish.free_sag.low, &wish.free_sag.high, &wish.preload.low,
                             &wish.preload.high};
    Length& slot = *slots[static_cast<int>(by.of)];
    slot = mm(std::max(0.0, in_mm(slot) + by.by));
    if (wish.free_sag.low > wish.free_sag.high || wish.preload.low > wish.preload.high) return;
    desk.season.wish = wish;
}

}  // namespace restand
