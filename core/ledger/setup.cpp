// The set-up of a bike, and the ride heights that follow from it.
//
// Heights are measured; settings are chosen. When a setting changes, the heights read before no longer
// describe the bike. They are kept and marked stale, and `read_with` keeps the settings they were read with.
// The current heights are computed from the two by the same mechanics as a part swap (case_between below).

#include "core/ledger/setup.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <iterator>

#include "core/ledger/chassis.h"
#include "core/ledger/checked_swap.h"
#include "core/ledger/fitted_unit.h"
#include "core/ledger/moved_by.h"
#include "core/ledger/swap_site.h"
#include "core/ledger/swap_solution.h"

namespace restand {
namespace {

// Records a new value of a setting that affects heights. If the value differs, the heights it moves become
// stale. If it is read for the first time, it was the same before and has moved nothing.
void move(SetUp& setup, Place place, const StoredReading& stored) {
    const auto [end, point] = place;
    const StoredReading* before = setup.stored(end, point);
    if (!before)
        setup.read_with[place] = stored;
    else if (!same_value(before->reading, stored.reading))
        for (const Point height : ride_heights)
            if (setup.stored(end, height) && moves(point, height)) setup.stale.insert({end, height});
}

// When enough heights for a computation are read again, they belong together with the current settings.
void read_together(SetUp& setup, End end) {
    const auto fresh = [&](Point p) { return setup.stored(end, p) && !setup.stale.contains({end, p}); };
    if (!fresh(Point::ride_height_topped_out)) return;
    // A rider's height that is not read again yet is still expected from the heights before.
    const bool rider_known = setup.stored(end, Point::ride_height_rider) != nullptr;
    if (!fresh(rider_known ? Point::ride_height_rider : Point::ride_height_static)) return;
    std::erase_if(setup.read_with, [end](const auto& one) { return one.first.first == end; });
    for (const auto& [place, stored] : setup.values)
        if (place.first == end && !setup.stale.contains(place)) setup.read_with[place] = stored;
}

std::optional<Length> preload_in(const std::map<Place, StoredReading>& values, End end) {
    return preload_of([&](Point point) -> std::optional<double> {
        const auto it = values.find({end, point});
        return it == values.end() ? std::nullopt : std::optional(measured(it->second.reading).value);
    });
}

// A preload set in one form voids the others: they say what was set before. A length counts as a form only
// where the spring's own length is known.
void void_other_forms(SetUp& setup, End end, Point set) {
    if (!is_of_preload(set)) return;
    if (set == Point::spring_installed_length && !setup.stored(end, Point::spring_free_length)) return;
    for (const Point form : {Point::spring_installed_length, Point::spring_preload, Point::preload_turns}) {
        const Place place{end, form};
        if (form == set || !setup.values.contains(place)) continue;
        setup.values.erase(place);
        for (const Point height : ride_heights)
            if (setup.stored(end, height) && moves(form, height)) setup.stale.insert({end, height});
    }
}

// Applies one entry's values. Within one entry the settings come before the measurements.
void lay(SetUp& setup, const Fact& fact, const std::vector<SetValue>& values) {
    std::set<End> read;
    setup.before_change();
    forget_what_rolled(setup, values);
    for (const SetValue& v : values) {
        const Place place{v.end, v.reading.point};
        StoredReading stored{v.reading, fact.entry.id, fact.entry.by, fact.entry.clock, {}, false};
        if (moved_by(place.second).any_height()) move(setup, place, stored);
        if (is_ride_height(place.second)) read.insert(v.end);
        void_other_forms(setup, place.first, place.second);
        setup.values[place] = std::move(stored);
    }
    for (const SetValue& v : values) setup.stale.erase({v.end, v.reading.point});
    for (const End end : read) read_together(setup, end);
    const auto is_slack = [](const SetValue& v) { return v.reading.point == Point::chain_slack; };
    if (std::any_of(values.begin(), values.end(), is_slack)) setup.at_slack.reset();
    setup.at = std::max(setup.at, fact.entry.clock);
}

// Starts the set-up from a baseline. A value typed with the baseline gets its provenance; a value that was
// carried over keeps its own.
void ground(SetUp& setup, const BaselineBody& body, const Id& id, const Id& by, Clock clock) {
    for (const BaselineValue& v : body.values) {
        StoredReading& stored = setup.values[{v.end, v.stored.reading.point}] = v.stored;
        if (stored.entry.nil()) stored.entry = id, stored.by = by, stored.at = clock;
    }
    setup.read_with = setup.values;
    setup.baseline = id;
    setup.at = clock;
}

// True if something was set or checked: the new part is in.
bool is_in(const Swap& swap) {
    return std::any_of(swap.stored_readings.begin(), swap.stored_readings.end(), [&](const auto& one) {
        return one.first.phase >= Phase::set && swap.stored(one.first);
    });
}

// One end after the swap: its values are those of `after`. Heights that were not read since are stale.
void put_after(SetUp& setup, End end, const SetUp& before, const BaselineBody& after) {
    const auto of_end = [end](const auto& one) { return one.first.first == end; };
    std::erase_if(setup.values, of_end);
    std::erase_if(setup.read_with, of_end);
    std::erase_if(setup.stale, [end](Place place) { return place.first == end; });
    std::copy_if(before.read_with.begin(), before.read_with.end(),
                 std::inserter(setup.read_with, setup.read_with.end()), of_end);
    for (const BaselineValue& v : after.values)
        if (v.end == end) setup.values[{end, v.stored.reading.point}] = v.stored;
    for (const Point height : ride_heights) {
        const StoredReading* was = before.stored(end, height);
        if (was && setup.values.try_emplace({end, height}, *was).second) setup.stale.insert({end, height});
    }
    read_together(setup, end);
}

SetUp setup_with(const Ledger& ledger, const Bike& bike, const Swap& swap, Clock until);

SetUp setup_as_of(Clock then, const Ledger& ledger, const Bike& bike, const Swap& swap) {
    return setup_with(ledger, bike, swap_at(ledger, swap, then), then);
}

// What the swap read the slack with: the bike before it, or the new part, as far as it was set by then. null:
// nothing was set since.
std::shared_ptr<const SetUp> slack_read_with(const Ledger& ledger, const Bike& bike, const Swap& swap,
                                             const SetUp& before, const StoredReading& slack) {
    const StoredReading* was = before.stored(End::rear, Point::chain_slack);
    if (was && was->entry == slack.entry) return std::make_shared<const SetUp>(before);
    const auto newer = [&](const auto& one) {
        const StoredReading* stored = swap.stored(one.first);
        return one.first.phase == Phase::set && stored && stored->at > slack.at;
    };
    if (std::none_of(swap.stored_readings.begin(), swap.stored_readings.end(), newer)) return nullptr;
    return std::make_shared<const SetUp>(setup_as_of(slack.at, ledger, bike, swap));
}

// The set-up at a moment, with what this swap has set and checked by then.
SetUp setup_with(const Ledger& ledger, const Bike& bike, const Swap& swap, Clock until) {
    SetUp setup = setup_at(bike.id, ledger.facts_of(bike.id), until);
    if (!is_in(swap)) return setup;
    setup.before_change();
    const SetUp before = before_of(site_of(ledger, bike, swap));
    const BaselineBody after = baseline_of(swap, setup, "");
    for (const End end : ends_of(swap)) {
        // Heights of a check that a setting has outdated were read with the new part in: they tell more than
        // those of the old one.
        const auto check = last_check(swap, end);
        const bool outdated = check && !set_after(swap, end, *check).empty();
        put_after(setup, end, outdated ? setup_as_of(*check, ledger, bike, swap) : before, after);
    }
    const StoredReading* slack = setup.stored(End::rear, Point::chain_slack);
    if (slack && slack->swap == swap.id && slack->at > swap.started)
        setup.at_slack = slack_read_with(ledger, bike, swap, before, *slack);
    return setup;
}

// A record is about an older time; only trends use it.
bool counts(const Body& body) {
    return std::holds_alternative<BaselineBody>(body) || std::holds_alternative<ChangeBody>(body) ||
           std::holds_alternative<PlanStepBody>(body);
}

}  // namespace

const StoredReading* SetUp::stored(End end, Point point) const {
    const auto it = values.find({end, point});
    return it == values.end() ? nullptr : &it->second;
}

std::optional<Length> SetUp::length(End end, Point point) const {
    const StoredReading* t = stored(end, point);
    if (!t || facts(point).dimension != Dimension::length) return std::nullopt;
    return mm(measured(t->reading).value);
}

std::optional<double> SetUp::number(End end, Point point) const {
    const StoredReading* t = is_text(point) ? nullptr : stored(end, point);
    return t ? std::optional(measured(t->reading).value) : std::nullopt;
}

void SetUp::before_change() {
    if (!at_slack) at_slack = std::make_shared<const SetUp>(*this);
}

void forget_what_rolled(SetUp& setup, std::span<const SetValue> set) {
    for (const SetValue& v : set)
        if (const StoredReading* was = setup.stored(v.end, Point::tyre);
            v.reading.point == Point::tyre && was && !same_value(was->reading, v.reading))
            setup.values.erase({v.end, Point::rolling_circumference});
}

SetUp setup_at(const Id& bike, std::span<const Fact* const> facts, Clock until) {
    std::set<Id> gone;
    for (const Fact* f : facts) gone.insert(f->entry.supersedes.begin(), f->entry.supersedes.end());
    std::vector<const Fact*> standing;
    for (const Fact* f : facts)
        if (f->entry.bike == bike && counts(f->body) && f->entry.clock <= until &&
            !gone.contains(f->entry.id))
            standing.push_back(f);
    std::sort(standing.begin(), standing.end(),
              [](const Fact* a, const Fact* b) { return earlier(a->entry, b->entry); });

    SetUp setup;
    setup.bike = bike;
    const auto last = std::find_if(standing.rbegin(), standing.rend(), [](const Fact* f) {
        return std::holds_alternative<BaselineBody>(f->body);
    });
    auto from = standing.begin();
    if (last != standing.rend()) {
        const Entry& e = (*last)->entry;
        ground(setup, std::get<BaselineBody>((*last)->body), e.id, e.by, e.clock);
        from = last.base();
    }
    for (auto it = from; it != standing.end(); ++it) {
        if (const auto* change = std::get_if<ChangeBody>(&(*it)->body)) lay(setup, **it, change->values);
        if (const auto* tick = std::get_if<PlanStepBody>(&(*it)->body)) lay(setup, **it, tick->values);
    }
    return setup;
}

SetUp setup_now(const Ledger& ledger, const Id& bike) {
    const Bike* known = ledger.bike(bike);
    const Swap* swap = ledger.open_swap(bike);
    if (!known || !swap) return setup_at(bike, ledger.facts_of(bike));
    return setup_with(ledger, *known, *swap, latest);
}

SetUp setup_of(const Baseline& baseline) {
    SetUp setup;
    setup.bike = baseline.bike;
    ground(setup, baseline.body, baseline.id, baseline.by, baseline.clock);
    return setup;
}

bool is_as_kept(const SetUp& now, const Baseline& baseline) {
    return now.values == setup_of(baseline).values;
}

std::optional<Length> coils_apart(const SetUp& setup, End end) {
    return block_margin(fitted_unit(end, [&](Point point) { return setup.number(end, point); }));
}

std::vector<const Baseline*> rivals_of(const Ledger& ledger, const Baseline& baseline) {
    std::vector<const Baseline*> rivals;
    for (const Baseline* b : ledger.baselines(baseline.bike))
        if (b->body.based_on == baseline.body.based_on && !b->body.based_on.nil()) rivals.push_back(b);
    return rivals;
}

// What a change does
// ------------------------------------------------------------------------------------------------------

namespace {

using Values = std::map<Place, StoredReading>;

bool cancels(Point point) {
    return point == Point::gas_force || point == Point::fork_length || point == Point::unsprung_mass ||
           point == Point::fitted_mass_ahead;
}

// Builds a swap that never took place: one set-up before, the parts and settings of the other after. So the
// code that makes a case from a swap's readings serves set-ups as well. Tyres are left out: both set-ups are
// described by the height of their axles, not of the ground.
Result<SwapCase> case_between(const BikeBody& bike, End end, const Values& before, const Values& after) {
    Swap swap;
    swap.parts =
        end == End::rear ? std::vector{SwapPart::shock, SwapPart::link_rod} : std::vector{SwapPart::fork};
    const auto put = [&](Phase phase, const Values& values) {
        for (const auto& [place, stored] : values)
            if ((place.first == end || is_of_bike(place.second)) && place.second != Point::tyre &&
                place.second != Point::spring_moved && place.second != Point::rolling_circumference)
                swap.stored_readings[{phase, place.first, place.second}] = {stored};
    };
    put(Phase::before, before);
    put(Phase::new_part, after);
    // The bike's description knows the link rod. It counts as swapped only if both set-ups have a reading.
    const auto has_rod = [end](const Values& values) { return values.contains({end, Point::link_rod}); };
    if (!has_rod(before) || !has_rod(after)) std::erase(swap.parts, SwapPart::link_rod);
    const auto has_load = [](const Values& values) {
        return values.contains({End::rear, Point::fitted_mass});
    };
    if (has_load(before) && has_load(after)) swap.parts.push_back(SwapPart::load);
    auto input = restand::case_of(SwapSite{bike, swap}, end);
    if (!input) return input.error();
    // A set-up says what is; nothing of it is assumed but what cancels between the two.
    const bool still = input->find({Phase::before, Point::ride_height_static}) &&
                       !input->assumed({Phase::before, Point::ride_height_static});
    for (const SwapInput& i : input->inputs) {
        if (i.origin != Origin::assumed || i.slot.phase != Phase::before || cancels(i.slot.point)) continue;
        if (i.slot.point != Point::ride_height_rider || !still)
            return Error{ErrorCode::missing, std::string(facts(i.slot.point).key),
                         std::string(key(Phase::before))};
        input->swap_case.before.rider.reset();  // static alone is enough
    }
    if (const auto sound = validate(input->swap_case); !sound) return sound.error();
    return std::move(input->swap_case);
}

Prediction as_set(const SwapCase& c) {
    return predict(c, c.length.now, c.installed.now);
}

std::optional<double> ratio_of(const SetUp& s) {
    const StoredReading* front = s.stored(End::rear, Point::sprocket_front);
    const StoredReading* rear = s.stored(End::rear, Point::sprocket_rear);
    if (!front || !rear) return std::nullopt;
    const double teeth = measured(front->reading).value;
    return teeth > 0 ? std::optional(measured(rear->reading).value / teeth) : std::nullopt;
}

std::optional<Length> height(const Prediction& p, State s) {
    return p.at(s) ? std::optional(p.at(s)->height) : std::nullopt;
}

std::optional<Length> change_between(std::optional<Length> from, std::optional<Length> to) {
    return from && to ? std::optional(*to - *from) : std::nullopt;
}

std::optional<Length> preload_at(const SetUp& s, End end) {
    return preload_of([&](Point point) { return s.number(end, point); });
}

}  // namespace

bool moved_since_read(const SetUp& setup, End end) {
    const auto was = preload_in(setup.read_with, end), is = preload_in(setup.values, end);
    if (was && is && abs(*is - *was) > mm(1e-9)) return true;
    return std::any_of(setup.values.begin(), setup.values.end(), [&](const auto& one) {
        const auto& [place, stored] = one;
        if (place.first != end || !moved_by(place.second).any_height()) return false;
        const auto then = setup.read_with.find(place);
        return then != setup.read_with.end() && !same_value(then->second.reading, stored.reading);
    });
}

StoredReading computed(Point point, Length value) {
    char text[32];
    const auto end = std::to_chars(text, text + sizeof text, value.value, std::chars_format::fixed, 6).ptr;
    return {{point, {Typed{std::string(text, end), Unit::mm}}, {}, "computed"}, {}, {}, {}, {}, false};
}

bool is_computed(const Reading& reading) {
    return reading.where == "computed";
}

Result<StanceChange> stance_change(const BikeBody& bike, End end, const SetUp& before, const SetUp& after) {
    StanceChange c{end, {}, {}, {}, {}, {}};
    const auto was_ratio = ratio_of(before), is_ratio = ratio_of(after);
    if (was_ratio && is_ratio && *was_ratio != *is_ratio) c.ratio = *is_ratio / *was_ratio;
    c.preload = change_between(preload_at(before, end), preload_at(after, end));

    const auto then = case_between(bike, end, before.read_with, before.values);
    const auto now = case_between(bike, end, before.read_with, after.values);
    if (!then || !now) {
        if (c.ratio) return c;
        return then ? now.error() : then.error();
    }
    const Prediction was = as_set(*then), is = as_set(*now);
    c.topped_out = change_between(height(was, State::topped_out), height(is, State::topped_out));
    c.static_ = change_between(height(was, State::static_), height(is, State::static_));
    c.rider = change_between(height(was, State::rider), height(is, State::rider));
    return c;
}

Result<Stance> stance_of(const BikeBody& bike, End end, const SetUp& setup) {
    const auto c = case_between(bike, end, setup.read_with, setup.values);
    if (!c) return c.error();
    const Prediction p = as_set(*c);
    return Stance{height(p, State::topped_out), height(p, State::static_), height(p, State::rider)};
}

Result<SwapCase> case_of(const BikeBody& bike, End end, const SetUp& then, const SetUp& now) {
    Values before = then.values;
    // If settings changed since the heights were read, the stale heights are replaced by predicted ones.
    const bool moved =
        std::any_of(then.stale.begin(), then.stale.end(), [end](Place p) { return p.first == end; });
    if (!moved) return case_between(bike, end, before, now.values);
    const auto stood = stance_of(bike, end, then);
    if (!stood) return stood.error();
    const std::optional<Length> heights[] = {stood->topped_out, stood->static_, stood->rider};
    for (std::size_t i = 0; i < std::size(heights); ++i) {
        const Place place{end, ride_heights[i]};
        if (!then.stale.contains(place)) continue;
        before.erase(place);
        if (heights[i]) before[place] = computed(ride_heights[i], *heights[i]);
    }
    return case_between(bike, end, before, now.values);
}

}  // namespace restand
