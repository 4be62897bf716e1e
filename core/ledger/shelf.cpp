#include "core/ledger/shelf.h"

#include <algorithm>

#include "core/ledger/setup.h"

namespace restand {
namespace {

Swap swap_of(SwapPart part) {
    Swap swap;
    swap.parts = {part};
    return swap;
}

bool picks(const Swap& swap, const Id& item) {
    return std::find(swap.picks.begin(), swap.picks.end(), item) != swap.picks.end();
}

// May the swap have put another part where this one was?
bool may_take_off(const Swap& swap, const ShelfBody& body) {
    return std::any_of(body.values.begin(), body.values.end(),
                       [&](const Reading& r) { return replaces(swap, end_of(body.part), r.point); });
}

// Does the bike's set-up still have a number that was read of it in this swap?
bool still_read(const Ledger& ledger, const Swap& fitted, const ShelfBody& body) {
    const SetUp now = setup_at(fitted.bike, ledger.facts_of(fitted.bike));
    return std::any_of(body.values.begin(), body.values.end(), [&](const Reading& r) {
        const Take* take = now.take(end_of(body.part), r.point);
        return take && take->swap == fitted.id;
    });
}

}  // namespace

std::vector<Point> shelf_points(SwapPart part) {
    std::vector<Point> points;
    for (const Asked& a : asked(swap_of(part), Phase::new_part))
        // A loose spring has no installed length.
        if (replaces(swap_of(part), a.end, a.point) && a.point != Point::part_name &&
            (a.point != Point::spring_installed_length || part == SwapPart::shock || part == SwapPart::fork))
            points.push_back(a.point);
    return points;
}

const Reading* value_of(const ShelfBody& body, Point point) {
    for (const Reading& r : body.values)
        if (r.point == point) return &r;
    return nullptr;
}

std::optional<OnBike> on_bike(const Ledger& ledger, const ShelfItem& item) {
    const Swap* fitted = nullptr;
    for (const Bike* bike : ledger.bikes(true))
        for (const Swap* swap : ledger.swaps(bike->id))
            if (swap->kept && picks(*swap, item.id) && (!fitted || fitted->started < swap->started)) fitted = swap;
    if (!fitted) return std::nullopt;
    for (const Swap* swap : ledger.swaps(fitted->bike))
        if (swap->kept && fitted->started < swap->started && may_take_off(*swap, item.body) &&
            !still_read(ledger, *fitted, item.body))
            return std::nullopt;
    return OnBike{fitted->bike, fitted->started.ms};
}

std::vector<const ShelfItem*> shelf_for(const Ledger& ledger, SwapPart part) {
    std::vector<const ShelfItem*> items;
    for (const ShelfItem* item : ledger.shelf())
        if (item->body.part == part) items.push_back(item);
    std::stable_partition(items.begin(), items.end(), [&](const ShelfItem* item) { return !on_bike(ledger, *item); });
    return items;
}

std::vector<Body> picked(const ShelfItem& item, const Swap& swap) {
    const End end = end_of(item.body.part);
    std::vector<Body> bodies = {PickBody{item.id}};
    const auto add = [&](Reading reading) {
        ReadingBody body{Phase::new_part, std::move(reading)};
        if (read_at(body, swap.parts).end != end) body.end = end;
        bodies.emplace_back(std::move(body));
    };
    const auto list = asked(swap, Phase::new_part);
    const auto is_asked = [&](Point point) {
        return std::any_of(list.begin(), list.end(), [&](const Asked& a) { return a.end == end && a.point == point; });
    };
    for (const Reading& reading : item.body.values)
        if (is_asked(reading.point)) add(reading);
    if (is_asked(Point::part_name))
        add({Point::part_name, {Typed{item.body.name, Unit::one}}, usual_instrument(Point::part_name), {}});
    return bodies;
}

}  // namespace restand
