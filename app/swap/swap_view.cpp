#include "app/swap/swap_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/pad/next_field.h"
#include "app/shelf/shelf_view.h"
#include "app/swap/answer_view.h"
#include "app/swap/check_view.h"
#include "app/swap/reading_rows.h"
#include "app/swap/to_set.h"
#include "app/views/check_rows.h"
#include "app/views/known_from.h"
#include "app/views/point_wording.h"
#include "app/views/view_parts.h"
#include "app/views/ways_drawing.h"
#include "app/views/wording.h"
#include "app/workshop/bikes_view.h"

namespace restand {

namespace {
Ruler ruler(const AppState& state) {
    Ruler r;
    const Step6 now = step_of(state);
    for (int i = 0; i < step_count; ++i) {
        const auto s = static_cast<Step6>(i);
        r.marks.push_back({wording::step(s), i < static_cast<int>(now), s == now, reachable(state, s)});
    }
    return r;
}

std::string panel_title(const Swap& swap, Step6 step) {
    const bool several = swap.parts.size() > 1;
    const std::string part = several ? "parts" : wording::part(swap.parts.front());
    const bool carried = !several && swaps_load(swap);  // set on the units, not on what is new
    switch (step) {
        case Step6::before:
            return carried ? "Before it comes off" : "Before: the old " + part + " in";
        case Step6::new_part:
            return "The new " + part;
        case Step6::answer:
            return (several || carried ? "Set this with the new " : "Set this on the new ") + part;
        case Step6::set:
            return "What you really set";
        case Step6::check:
            return "Check: the bike again";
        case Step6::keep:
            return "Keep it";
    }
    return "";
}

// The usual cautions, on the step they belong to.
std::vector<std::string> cautions(Step6 step, const Swap& swap) {
    const auto has = [&](std::initializer_list<SwapPart> parts) {
        return std::any_of(parts.begin(), parts.end(), [&](SwapPart part) { return swap.has(part); });
    };
    using enum SwapPart;
    std::vector<std::string> said;
    switch (step) {
        case Step6::before:
            said = {"Bike secured: on stands for topped out, held upright on its wheels for the rest."};
            if (has({shock, shock_spring, link_rod}))
                said.emplace_back(
                    "Spring under load. A gas damper is opened or charged only by its maker or a "
                    "specialist.");
            if (has({fork, fork_springs, fork_oil}))
                said.emplace_back("Springs under load. Fork air is let out before a cap is undone.");
            if (has({sprockets, chain}))
                said.emplace_back("Engine off, out of gear. Fingers clear of chain and sprockets.");
            if (has({load}))
                said.emplace_back(
                    "Fuel: engine cold, outside, no flame or spark, into a closed can. Tank vent and lines "
                    "as "
                    "the maker says.");
            return said;
        case Step6::new_part:
            if (has({shock, shock_spring}))
                said.emplace_back(
                    "Spring under load: back the collar off before the seat comes out. Never open a gas "
                    "damper.");
            if (has({fork, fork_springs, fork_oil}))
                said.emplace_back(
                    "Springs under load: preload off and fork air let out before a cap is undone; hold the "
                    "cap, it jumps.");
            if (has({chain}))
                said.emplace_back(
                    "Joining link riveted or clipped with its own tool, as its maker says; a clip's closed "
                    "end "
                    "leads.");
            if (has({rear_tyre, front_tyre}))
                said.emplace_back(
                    "Tyres fitted, seated and balanced by somebody trained; never above the seating pressure "
                    "on "
                    "the side wall.");
            return said;
        case Step6::answer:
            return {"Arithmetic on your readings, not approval to ride."};
        case Step6::set:
            return {
                "Fasteners to the maker's manual; single-use nuts and pins new. Threads never past the "
                "maker's limit."};
        case Step6::check:
            return {"Bike secured; somebody holds it while the rider sits."};
        case Step6::keep:
            said = {"Re-check every fastener after the first run. This is arithmetic, not approval to ride."};
            if (has({chain}))
                said.emplace_back("A new chain settles: read its slack again after the first run.");
            return said;
    }
    return {};
}

// What is in hand: the open tag, else what comes next.
Asked in_hand(const AppState& state, const Swap& swap, Phase phase) {
    if (state.pad && state.pad->field.of == Field::Of::reading)
        return {state.pad->field.end, state.pad->field.point, true, false};
    if (const auto needed = needed_field(state)) return {needed->end, needed->point, true, false};
    // Of a new part its own numbers, not the limits that the answer asks for beside them.
    const auto all = asked(swap, phase);
    const auto own =
        std::find_if(all.begin(), all.end(), [&](const Asked& a) { return replaces(swap, a.end, a.point); });
    return phase == Phase::new_part && own != all.end() ? *own : all.front();
}

constexpr std::ptrdiff_t most_tags = 7;  // more on one drawing and the eye no longer finds its own

// Tags of a scene; where there would be too many, only those of the group in hand.
std::vector<Point> tagged(const Swap& swap, Phase phase, End end, Group now) {
    std::vector<Point> scene, group;
    for (const Asked& a : asked(swap, phase)) {
        if (a.end != end || is_of_bike(a.point) || goes_with_heights(a.point) || a.inside) continue;
        const Group g = group_of(a.point);
        const bool front_stand = end == End::front && scene_of(now) == Scene::stand && g == Group::chain;
        if (scene_of(g) == scene_of(now) || front_stand) scene.push_back(a.point);
        if (g == now) group.push_back(a.point);
    }
    return std::ssize(scene) <= most_tags ? scene : group;
}

Tag tag_of(const AppState& state, const Swap& swap, const Field& field, const Anchor& anchor) {
    Tag tag = tag_at("tag:" + field_id(field), wording::label(field.point), anchor);
    tag.tap = act::OpenTag{field};
    tag.open = state.pad && state.pad->field == field;
    const bool text = is_text(field.point);
    if (tag.open && !state.pad->entry.empty()) {
        tag.value = state.pad->entry;
        // A unit typed behind the number stands for itself.
        const bool says_it = std::isalpha(static_cast<unsigned char>(tag.value.back())) != 0;
        tag.unit = text || says_it ? "" : std::string(symbol(state.pad->unit));
    } else if (tag.open && !text && !state.pad->repeats.empty()) {
        tag.value = wording::typed_number(state.pad->repeats.back());
        tag.unit = std::string(symbol(state.pad->repeats.back().unit));
    } else if (const StoredReading* stored = swap.stored({field.phase, field.end, field.point})) {
        put_value(tag, stored->reading);
    } else if (const auto preload = following_preload(swap, field)) {
        tag.value = wording::value(*preload, state.ledger.units());
        tag.unit = symbol(state.ledger.units().length);
        tag.note = by_its_lengths;
    } else if (const SolvedSwap* solved = solved_swap(state); solved && is_ride_height(field.point)) {
        // As the bike stood when the swap began. The bench has no room for a day beside each number.
        if (const StoredReading* carried = stored_at(solved->site(), field.end, field.phase, field.point)) {
            put_value(tag, carried->reading);
            const KnownFrom from = known_from(state, solved->site().stood.baseline, field.end, *carried);
            tag.note = fmt::format("{} {}{}", from == KnownFrom::baseline ? "kept" : "measured",
                                   wording::day(carried->at.ms, state.utc_offset_min),
                                   from == KnownFrom::missed_way ? ", not restored" : "");
        }
    }
    if (tag.open) tag.ink = Ink::now;
    const StoredReading* before = swap.stored({Phase::before, field.end, field.point});
    if (before && field.phase == Phase::check) tag.note = "before: " + wording::reading(before->reading);
    return tag;
}

std::optional<Length> height_in(const Swap& swap, Phase phase, End end, State load_state) {
    const StoredReading* stored = swap.stored({phase, end, height_point(load_state)});
    return stored ? std::optional(mm(measured(stored->reading).value)) : std::nullopt;
}

// The drawing closes in on the spot that is being measured; never more than the eye can follow.
void close_in(const Anchor& spot, Drawing& drawing) {
    const Vec2 b = spot.b.value_or(spot.a), low = drawing.low, high = drawing.high;
    const auto side = [](double from, double to, double least, double most, double& out_low,
                         double& out_high) {
        const double whole = most - least;
        const double half = std::clamp(std::fabs(to - from) / 2 + 0.15 * whole, 0.3 * whole, 0.5 * whole);
        const double mid = std::clamp((from + to) / 2, least + half, most - half);
        out_low = mid - half;
        out_high = mid + half;
    };
    side(spot.a.x, b.x, low.x, high.x, drawing.low.x, drawing.high.x);
    side(spot.a.y, b.y, low.y, high.y, drawing.low.y, drawing.high.y);
}

void draw_readings(const AppState& state, const Bike& bike, const Swap& swap, Phase phase, PageView& page) {
    const Asked now = in_hand(state, swap, phase);
    const End end = now.end;
    const Group group = group_of(now.point);
    const bool fork_tyre = end == End::front && group == Group::chain;  // the front stand shows the tyre
    const Scene scene = fork_tyre ? Scene::stand : scene_of(group);
    auto known = known_before(state, swap, end);
    // On the bench the part in hand is drawn, not the one it replaces. On the bike one sprocket may stay.
    if ((scene == Scene::bench || scene == Scene::chain) && phase != Phase::before) {
        if (scene == Scene::bench)
            std::erase_if(known, [&](const auto& one) { return replaces(swap, end, one.first); });
        for (const auto& [spot, stored_readings] : swap.stored_readings)
            if (spot.phase == Phase::new_part && spot.end == end && !stored_readings.empty() &&
                !is_text(spot.point))
                known[spot.point] = measured(swap.stored(spot)->reading).value;
    }
    PictureInput in = picture_of(bike.body, end, scene, known);
    const auto load_state =
        state.pad && scene == Scene::stand ? height_state(state.pad->field.point) : std::nullopt;
    if (load_state)
        if (const auto height = height_in(swap, phase, end, *load_state)) in.height = height;
    if (phase == Phase::before) {
        if (const auto last =
                last_stored(state, {.of = Field::Of::reading, .point = Point::ride_height_rider, .end = end}))
            in.ghost = mm(measured(last->reading).value);
    } else
        in.ghost = height_in(swap, Phase::before, end, State::rider);
    if (state.pad && state.pad->asks_which_stand()) {
        page.drawing = both_stands();
        return;
    }
    const BikePicture pic = picture(in);
    page.drawing = drawing_of(pic);
    for (Point point : tagged(swap, phase, end, fork_tyre ? Group::heights : group))
        if (const auto anchor = pic.anchors.find(point); anchor != pic.anchors.end())
            page.drawing.tags.push_back(
                tag_of(state, swap, {.of = Field::Of::reading, .phase = phase, .point = point, .end = end},
                       anchor->second));
    if (state.pad && state.pad->field.of == Field::Of::reading)
        if (const auto spot = pic.anchors.find(state.pad->field.point); spot != pic.anchors.end())
            close_in(spot->second, page.drawing);
    page.drawing.caption = pic.to_scale ? "to scale" : "schematic where not measured";
    if (scene == Scene::stand && in.ghost)
        page.drawing.caption +=
            phase == Phase::before ? " · blue: last baseline, rider on" : " · blue: before, rider on";
    if (state.pad && state.pad->field.of == Field::Of::reading) {
        page.drawing.guide = wording::guide(state.pad->field.point, end, bike.body);
        if (!is_text(state.pad->field))
            page.drawing.guide_small = wording::instrument(state.pad->field.point, state.pad->instrument);
    }
}

// The ± of the height that must hold, over all ends that have an answer; nullopt: none has one.
std::optional<double> widest(SolvedSwap& solved) {
    std::optional<double> widest;
    for (const EndSolution& e : solved.solution().ends) {
        const auto& answer = solved.uncertainty(e.end);
        if (!answer) return std::nullopt;
        if (const Uncertain* change = must_hold_change(*answer))
            widest = std::max(widest.value_or(0.0), change->expanded);
    }
    return widest;
}

// While something wanted is not read: what the answer is worth by now, and the way to it.
void answer_so_far(const AppState& state, SolvedSwap& solved, Step6 step, PageView& page) {
    if (state.pad || (step != Step6::before && step != Step6::new_part) || !needed_field(state)) return;
    if (!reachable(state, Step6::answer)) return;
    const auto plus_minus = widest(solved);
    if (!plus_minus) return;
    page.panel.rows.push_back(row::Button{
        "answer-now", "Answer with what is known",
        fmt::format("± {} at the axle, by now", wording::length(mm(*plus_minus), state.ledger.units())),
        act::GoToStep{Step6::answer}});
}

// One clear next step: measure what is needed, else go on.
Primary reading_primary(const AppState& state, Step6 step) {
    if (state.pad) {
        if (!state.pad->question.empty()) return no_way("Keep this reading", "first the question above");
        if (state.pad->editing_where) return {"Keep it", act::PadNext{}, ""};
        if (const auto next = next_field(state, state.pad->field))
            return {"Next: " + (next->end == state.pad->field.end ? wording::label(next->point)
                                                                  : wording::label(next->point, next->end)),
                    act::PadNext{}, ""};
        return {"Keep this reading", act::PadNext{}, ""};
    }
    if (const auto needed = needed_field(state))
        return {"Measure: " + wording::label(needed->point), act::OpenTag{*needed}, ""};
    if (const auto corrected = step == Step6::set ? field_to_correct(state) : std::nullopt)
        return {"Set: " + wording::label(corrected->point), act::OpenTag{*corrected}, ""};
    const auto next = static_cast<Step6>(static_cast<int>(step) + 1);
    static constexpr const char* on[] = {"On to the new part", "Work out the answer", "",
                                         "On to the check",    "On to keep it",       ""};
    if (!state.pending.empty()) return no_way(on[static_cast<int>(step)], "saving the last reading");
    return {on[static_cast<int>(step)], act::GoToStep{next}, ""};
}
}  // namespace

PageView swap_view(const AppState& state) {
    const Swap* swap = open_swap(state);
    const Bike* bike = swap ? state.ledger.bike(swap->bike) : nullptr;
    if (!bike) return bikes_view(state);
    SolvedSwap* const found = solved_swap(state);
    check(found != nullptr, "the open swap and its bike are known");
    SolvedSwap& solved = *found;
    const Step6 step = step_of(state);
    PageView page = blank_page(state, bike->body.name + " · " + wording::parts(swap->parts));
    page.ruler = ruler(state);
    page.panel.title = panel_title(*swap, step);
    page.panel.cautions = cautions(step, *swap);
    if (const auto phase = phase_of(step)) {
        draw_readings(state, *bike, *swap, *phase, page);
        page.primary = reading_primary(state, step);
        if (step == Step6::new_part) {
            if (!state.pad && !needed_field(state)) refusal_rows(state, solved, page.panel.rows);
            shelf_rows(state, *swap, page.panel.rows);
        }
        answer_so_far(state, solved, step, page);
        if (step == Step6::set) {
            refusal_rows(state, solved, page.panel.rows);
            coil_rows(state, solved.solution(), page.panel.rows);
            // What was read after the axle was set is judged at the check.
            if (!solved.solution().slack) answered_chain_rows(state, solved, page.panel.rows);
        }
        reading_rows(state, solved, *phase, page);
    }
    if (step == Step6::before || step == Step6::new_part) return page;
    page.panel.wide = true;
    switch (step) {
        case Step6::answer:
            answer_panel(state, *bike, solved, page);
            break;
        case Step6::set:
            set_prediction(state, solved, page);
            break;
        case Step6::check:
            check_panel(state, *bike, solved, page);
            break;
        case Step6::keep:
            keep_panel(state, *bike, solved, page);
            break;
        default:
            break;
    }
    return page;
}

}  // namespace restand
