#include "app/workshop/bikes_view.h"

#include <fmt/format.h>

#include <algorithm>

#include "app/season/baselines_view.h"
#include "app/views/season_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "core/ledger/chassis.h"

namespace restand {

namespace {
// What a person compares between bikes: heights, length, preload, gearing.
std::string compared_numbers(const SetUp& now) {
    std::string text;
    const auto add = [&](const char* name, End end, Point point) {
        if (const StoredReading* stored = now.stored(end, point))
            text +=
                fmt::format("{}{} {}{}", text.empty() ? "" : " · ", name,
                            is_computed(stored->reading) ? "expect " : "", wording::reading(stored->reading));
    };
    add("rear", End::rear, Point::ride_height_rider);
    add("front", End::front, Point::ride_height_rider);
    add("eye to eye", End::rear, Point::eye_to_eye);
    add("spring", End::rear, Point::spring_installed_length);
    add("fork", End::front, Point::fork_position);
    const StoredReading *front = now.stored(End::rear, Point::sprocket_front),
                        *rear = now.stored(End::rear, Point::sprocket_rear);
    if (front && rear)
        text += fmt::format("{}{}/{}", text.empty() ? "" : " · ", wording::shown(front->reading),
                            wording::shown(rear->reading));
    return text;
}

row::Card card(const AppState& state, const Bike& bike) {
    row::Card c{.id = "bike:" + to_text(bike.id),
                .title = bike.body.name,
                .line1 = {},
                .line2 = bike.body.note,
                .badge = {},
                .tap = act::Go{Screen::bike, bike.id}};
    if (const Swap* open = state.ledger.open_swap(bike.id))
        c.badge = fmt::format("{} swap: {}", wording::parts(open->parts), wording::step(open->step));
    if (const Baseline* last = state.ledger.newest_baseline(bike.id))
        c.line1 =
            fmt::format("{} · {}", wording::day(last->clock.ms, state.utc_offset_min), last->body.reason);
    else
        c.line1 = "no baseline yet";
    if (const std::size_t tried = tried_on(state, bike.id)) c.line1 = wording::tried(tried) + " · " + c.line1;
    const SetUp now = expected_now(state.ledger, bike);
    for (const std::string& text : coil_warnings(state, now)) c.line1 = text + " · " + c.line1;
    if (std::string numbers = compared_numbers(now); !numbers.empty()) c.line2 = std::move(numbers);
    return c;
}

// Sorted by last work, newest first.
std::vector<const Bike*> by_last_work(const AppState& state) {
    auto bikes = state.ledger.bikes();
    auto last = [&](const Bike* bike) {
        const Baseline* b = state.ledger.newest_baseline(bike->id);
        const Swap* open = state.ledger.open_swap(bike->id);
        return std::max({bike->at, b ? b->clock : Clock{}, open ? open->started : Clock{}});
    };
    std::stable_sort(bikes.begin(), bikes.end(),
                     [&](const Bike* a, const Bike* b) { return last(a) > last(b); });
    return bikes;
}

// The newest open swap.
const Swap* waiting(const AppState& state, const std::vector<const Bike*>& bikes) {
    const Swap* found = nullptr;
    for (const Bike* bike : bikes)
        if (const Swap* open = state.ledger.open_swap(bike->id);
            open && (!found || open->started > found->started))
            found = open;
    return found;
}
}  // namespace

PageView bikes_view(const AppState& state) {
    PageView page = blank_page(state, "Bikes");
    const auto bikes = by_last_work(state);
    auto archived = state.ledger.bikes(true);
    std::erase_if(archived, [](const Bike* bike) { return !bike->body.archived; });
    page.panel.title = bikes.empty() ? "No bike yet" : "In the workshop";
    page.panel.wide = true;
    for (const Bike* bike : bikes) page.panel.rows.push_back(card(state, *bike));
    const Swap* open = waiting(state, bikes);
    const Bike* shown = open ? state.ledger.bike(open->bike) : bikes.empty() ? nullptr : bikes.front();
    const BikeBody nobody;
    const BikeBody& body = shown ? shown->body : nobody;
    const SetUp now = shown ? expected_now(state.ledger, *shown) : SetUp{};
    page.drawing = drawing_of(picture(picture_of(body, End::rear, Scene::whole, numbers_of(now, End::rear))));
    if (shown) page.drawing.caption = shown->body.name;
    if (!shown) {
        page.panel.rows.push_back(
            row::Note{"A name and the rear leverage ratio are enough for a first answer. "
                      "Everything else can be measured later."});
    }
    if (open && shown) {
        page.panel.rows.push_back(row::Button{"add", "Add a bike", "", act::AddBike{}});
        page.primary = {fmt::format("Resume {}: {} swap", shown->body.name, wording::parts(open->parts)),
                        act::ResumeSwap{open->id}, ""};
    } else
        page.primary = {"Add a bike", act::AddBike{}, ""};
    page.panel.rows.push_back(
        row::Button{"shelf", "Parts shelf", "springs, shocks, sprockets, tyres", act::Go{Screen::shelf, {}}});
    for (const Bike* bike : archived) {
        if (bike == archived.front()) page.panel.rows.push_back(row::Heading{"Archived bikes"});
        page.panel.rows.push_back(card(state, *bike));
    }
    return page;
}

}  // namespace restand
