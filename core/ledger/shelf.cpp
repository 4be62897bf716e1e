#include "core/ledger/shelf.h"

#include <algorithm>

#include "core/ledger/fitted_unit.h"
#include "core/ledger/setup.h"

namespace restand {
namespace {

Swap swap_of(SwapPart part) {
    Swap swap;
    swap.parts = {part};
    return swap;
}

bool picks(const Swap& swap, const Id& item) {
    return std::any_of(swap.picks.begin(), swap.picks.end(),
                       [&](const Swap::Pick& p) { return p.item == item; });
}

// True if the swap may have put another part in place of this one.
bool may_take_off(const Swap& swap, const ShelfBody& body) {
    return std::any_of(body.values.begin(), body.values.end(), [&](const Reading& r) {
        return std::any_of(swap.parts.begin(), swap.parts.end(), [&](SwapPart part) {
            return end_of(part) == end_of(body.part) && brings(part, r.point);
        });
    });
}

// True if the bike's set-up still has all numbers of this item.
bool still_there(const Ledger& ledger, const Swap& fitted, const ShelfBody& body) {
    const SetUp now = setup_at(fitted.bike, ledger.facts_of(fitted.bike));
    return std::all_of(body.values.begin(), body.values.end(), [&](const Reading& r) {
        const StoredReading* stored = now.stored(end_of(body.part), r.point);
        return stored && same_value(stored->reading, r);
    });
}

}  // namespace

std::vector<Point> shelf_points(SwapPart part) {
    std::vector<Point> points;
    for (const Asked& a : asked(swap_of(part), Phase::new_part))
        // A spring that is not fitted has no preload; a fork that is not fitted has no position in the yokes.
        if (brings(part, a.point) && a.point != Point::part_name && a.point != Point::fork_position &&
            (!is_of_preload(a.point) || part == SwapPart::shock || part == SwapPart::fork))
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
            if (swap->kept && picks(*swap, item.id) && (!fitted || fitted->started < swap->started))
                fitted = swap;
    if (!fitted) return std::nullopt;
    for (const Swap* swap : ledger.swaps(fitted->bike))
        if (swap->kept && fitted->started < swap->started && may_take_off(*swap, item.body) &&
            !still_there(ledger, *fitted, item.body))
            return std::nullopt;
    return OnBike{fitted->bike, fitted->started.ms};
}

std::vector<const ShelfItem*> shelf_for(const Ledger& ledger, SwapPart part) {
    std::vector<const ShelfItem*> items;
    for (const ShelfItem* item : ledger.shelf())
        if (item->body.part == part) items.push_back(item);
    std::stable_partition(items.begin(), items.end(),
                          [&](const ShelfItem* item) { return !on_bike(ledger, *item); });
    return items;
}

namespace {
// One number alone tells no part from another: a chain has only its links. Then only what was put on the shelf
// after the swap counts. Ids begin with their time.
bool is_it(const ShelfItem& item, const ShelfBody& part, const Swap& swap) {
    if (item.body.part != part.part) return false;
    std::size_t both = 0, same = 0;
    for (const Reading& r : part.values)
        if (const Reading* other = value_of(item.body, r.point)) ++both, same += same_value(r, *other);
    return both > 0 && same == both && (both > 1 || swap.id < item.id);
}

// The last kept swap before this one that brought such numbers brought the part from the shelf.
bool came_from_shelf(const Ledger& ledger, const Swap& swap, const ShelfBody& part) {
    const auto swaps = ledger.swaps(swap.bike);  // newest first
    const auto last = std::find_if(swaps.begin(), swaps.end(), [&](const Swap* other) {
        return other->kept && other->started < swap.started && may_take_off(*other, part);
    });
    return last != swaps.end() &&
           std::any_of((*last)->picks.begin(), (*last)->picks.end(), [&](const Swap::Pick& pick) {
               const ShelfItem* item = ledger.shelf_item(pick.item);
               return item && item->body.part == part.part;
           });
}
}  // namespace

std::optional<ShelfBody> taken_off(const Ledger& ledger, const Swap& swap, SwapPart part) {
    const bool has_kind =
        std::find(std::begin(shelf_parts), std::end(shelf_parts), part) != std::end(shelf_parts);
    if (!swap.kept || !swap.has(part) || !has_kind) return std::nullopt;
    const End end = end_of(part);
    ShelfBody body{part, "", {}, false};
    for (const Point point : shelf_points(part))
        if (const StoredReading* read = swap.stored({Phase::before, end, point});
            read && replaces(swap, end, point) && !is_computed(read->reading))
            body.values.push_back(read->reading);
    const auto items = ledger.shelf(true);
    if (body.values.empty() || came_from_shelf(ledger, swap, body) ||
        std::any_of(items.begin(), items.end(),
                    [&](const ShelfItem* item) { return is_it(*item, body, swap); }))
        return std::nullopt;
    if (const StoredReading* name = swap.stored({Phase::before, end, Point::part_name}))
        body.name = name->reading.repeats.back().text;
    return body;
}

std::vector<Body> picked(const ShelfItem& item, const Swap& swap) {
    const End end = end_of(item.body.part);
    std::vector<Body> bodies = {PickBody{item.id}};
    const auto add = [&](Reading reading) {
        const ReadAt at{Phase::new_part, end, reading.point};
        bodies.emplace_back(read_in(swap, at, std::move(reading)));
    };
    const auto list = asked(swap, Phase::new_part);
    const auto is_asked = [&](Point point) {
        return std::any_of(list.begin(), list.end(),
                           [&](const Asked& a) { return a.end == end && a.point == point; });
    };
    for (const Reading& reading : item.body.values)
        if (is_asked(reading.point)) add(reading);
    if (is_asked(Point::part_name))
        add({Point::part_name, {Typed{item.body.name, Unit::one}}, usual_instrument(Point::part_name), {}});
    return bodies;
}

std::vector<Id> unpicked(const Ledger& ledger, const ShelfItem& item, const Swap& swap) {
    std::vector<Id> gone;
    for (const Swap::Pick& pick : swap.picks) {
        const ShelfItem* earlier = ledger.shelf_item(pick.item);
        if (!earlier || earlier->body.part != item.body.part) continue;
        const bool another =
            pick.item != item.id &&
            std::none_of(earlier->body.values.begin(), earlier->body.values.end(),
                         [&](const Reading& r) { return value_of(item.body, r.point) != nullptr; });
        if (another) continue;  // it is the other sprocket
        gone.push_back(pick.entry);
        for (const Reading& r : earlier->body.values) {
            if (value_of(item.body, r.point)) continue;
            const auto stored_readings =
                swap.stored_readings.find({Phase::new_part, end_of(item.body.part), r.point});
            if (stored_readings == swap.stored_readings.end()) continue;
            for (const StoredReading& stored : stored_readings->second)
                if (stored.reading == r) gone.push_back(stored.entry);
        }
    }
    return gone;
}

}  // namespace restand
