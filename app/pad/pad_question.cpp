#include "app/pad/pad_question.h"

#include <cmath>
#include <utility>

#include "app/app_state.h"
#include "app/pad/keep.h"
#include "app/pad/question_wording.h"
#include "app/swap/to_set.h"
#include "core/ledger/chain_count.h"
#include "core/ledger/contradiction.h"
#include "core/ledger/fitted_unit.h"
#include "core/ledger/shelf.h"

namespace restand {

namespace {

// Of the part that this step of the swap reads. How its spring is preloaded, and how high it stands, counts
// only as read in this step.
const StoredReading* of_the_part(const SwapSite& site, Phase phase, End end, Point point) {
    if (is_of_preload(point) || is_ride_height(point)) return site.swap.stored({phase, end, point});
    if (phase == Phase::set) phase = Phase::new_part;
    const StoredReading* own = stored_at(site, end, phase, point);
    return own || replaces(site.swap, end, point) ? own : stored_at(site, end, Phase::before, point);
}

// What is read beside `typed`, of the same part. Capture by reference: not longer than they live.
ReadingOf read_beside(const AppState& state, const Field& field, const Reading& typed) {
    const auto or_typed = [&typed](auto other) {
        return [&typed, other](Point point) { return point == typed.point ? &typed : other(point); };
    };
    if (field.of == Field::Of::shelf)
        return or_typed([item = shown_item(state)](Point point) -> const Reading* {
            return item ? value_of(item->body, point) : nullptr;
        });
    const SolvedSwap* solved = field.of == Field::Of::reading ? solved_swap(state) : nullptr;
    // A height that something has moved since says nothing.
    if (!solved)
        return or_typed([setup = setup_now(state.ledger, state.bike), field](Point point) {
            const StoredReading* stored = setup.stored(field.end, point);
            return stored && !setup.stale.contains({field.end, point}) ? &stored->reading : nullptr;
        });
    return or_typed([&state, &site = solved->site(), field](Point point) {
        const StoredReading* stored = of_the_part(site, field.phase, field.end, point);
        // A setting that a correction is about to move says nothing yet.
        const bool moves = stored && field.phase == Phase::set && is_of_preload(point) &&
                           awaits_correction(state, {Phase::set, field.end, point});
        return stored && !moves ? &stored->reading : nullptr;
    });
}

// Two readings of one part that cannot both be right.
std::string contradiction(const AppState& state, const Pad& pad) {
    const Point point = pad.field.point;
    const Reading typed = reading_of(pad);
    const ReadingOf read = read_beside(state, pad.field, typed);
    if (const auto order = out_of_order(point, read))
        return wording::out_of_order(*order, typed.repeats.back().unit);
    const bool sets_anew = pad.field.of == Field::Of::change || pad.field.of == Field::Of::tried;
    if (!sets_anew)
        if (const auto two = two_preloads(point, read)) return wording::two_preloads(*two, pad.unit);
    return "";
}

// Free sag so small that the shock may have carried the bike while 'topped out' was read.
std::optional<double> little_sag(const AppState& state, const Pad& pad, double v) {
    constexpr double least = 3.0;  // mm at the axle; common practice, no source
    const Point point = pad.field.point;
    const bool top = point == Point::ride_height_topped_out, still = point == Point::ride_height_static;
    if (pad.field.of == Field::Of::shelf || pad.field.of == Field::Of::tried || pad.field.end != End::rear ||
        (!top && !still))
        return std::nullopt;
    const Reading typed = reading_of(pad);
    const ReadingOf read = read_beside(state, pad.field, typed);
    const Reading* other = read(top ? Point::ride_height_static : Point::ride_height_topped_out);
    if (!other) return std::nullopt;
    const double there = measured(*other).value, sag = top ? v - there : there - v;
    return sag >= 0 && sag < least ? std::optional(sag) : std::nullopt;
}

// What is expected is computed for this state. More than half of `jump` away, another one was probably read.
std::string far_from_expected(const AppState& state, const Pad& pad, double v) {
    const auto expected = expected_of(state, pad.field);
    if (!expected || std::fabs(v - *expected) <= facts(pad.field.point).jump / 2) return "";
    return wording::far_from_expected(v - *expected, pad.unit);
}

std::optional<int> links_instead(const AppState& state, const Pad& pad, int links) {
    const SolvedSwap* solved = solved_swap(state);
    if (!solved || pad.field.of != Field::Of::reading || pad.field.point != Point::chain_links)
        return std::nullopt;
    return links_instead(solved->site(), pad.field.phase, links);
}
}  // namespace

namespace {
// A rate far from that of the old spring; an odd count of links.
std::string unlikely_part(const AppState& state, const Pad& pad, double v) {
    constexpr double most = 1.6;  // times the old rate; common practice, no source
    if (pad.field.point == Point::chain_links && std::lround(v) % 2 != 0) return wording::odd_links();
    const SolvedSwap* solved = pad.field.of == Field::Of::reading ? solved_swap(state) : nullptr;
    if (!solved || pad.field.phase != Phase::new_part || pad.field.point != Point::spring_rate) return "";
    const StoredReading* old = stored_at(solved->site(), pad.field.end, Phase::before, Point::spring_rate);
    const double was = old ? measured(old->reading).value : v;
    return v > was * most || v < was / most ? wording::other_rate(was, pad.unit) : "";
}
}  // namespace

PadQuestion question_of(const AppState& state, const Pad& pad) {
    if (!is_reading(pad.field) || is_text(pad.field)) return {};
    const PointFacts& f = facts(pad.field.point);
    const double v = measured(reading_of(pad)).value;
    if (const int links = static_cast<int>(std::lround(v));
        const auto fits = links_instead(state, pad, links))
        return {wording::count_again(links, *fits)};
    const bool same_part = pad.field.phase == Phase::before || pad.field.phase == Phase::check;
    // At a check and on a way back held against what is expected alone, below.
    const bool expected = pad.field.of == Field::Of::plan || expected_of(state, pad.field);
    if (const auto last = last_stored(state, pad.field); last && same_part && !expected) {
        const double away = v - measured(last->reading).value;
        if (std::fabs(away) > f.jump) return {wording::far_from_last(away, pad.unit)};
    }
    if (auto far = far_from_expected(state, pad, v); !far.empty()) return {std::move(far)};
    if (const auto sag = little_sag(state, pad, v)) return {wording::little_sag(*sag, pad.unit), true};
    if (auto against = contradiction(state, pad); !against.empty()) return {std::move(against)};
    if (auto unlikely = unlikely_part(state, pad, v); !unlikely.empty()) return {std::move(unlikely)};
    if (const Swap* swap = open_swap(state);
        swap && pad.field.phase == Phase::set && is_answered(*swap, pad.field.end, pad.field.point))
        if (const auto said = same_value(state, pad.field);
            said && std::fabs(v - canonical_value(*said)) > f.jump)
            return {wording::far_from_answer(v - canonical_value(*said), pad.unit)};
    if (v < f.usual_min || v > f.usual_max) return {wording::unusual(f.usual_min, f.usual_max, pad.unit)};
    return {};
}

}  // namespace restand
