// The readings of a step: each with what is known of it, how much of the answer's ± it makes, and what is asked
// once per bike.

#include "app/swap/reading_rows.h"

#include <array>

#include "app/swap/to_set.h"
#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/view_parts.h"
#include "app/views/ways_drawing.h"
#include "app/views/wording.h"
#include "core/ledger/contradiction.h"
#include "core/ledger/fitted_unit.h"
#include "core/ledger/map_of.h"

namespace restand {
namespace {

// On the side panel the label says 'one turn' and the heading 'clicks'; the unit need not say it again.
std::string panel_unit(Unit unit) {
    if (unit == Unit::click) return "";
    if (unit == Unit::mm_per_turn) return "mm";
    if (unit == Unit::inch_per_turn) return "in";
    return std::string(symbol(unit));
}

// As the bike stood when the swap began: no reading of today.
void carried_row(const AppState& state, const StoredReading& stored, row::ReadingRow& r) {
    r.mark = row::Mark::none;
    r.value = wording::shown(stored.reading);
    r.unit = is_text(stored.reading.point) ? "" : panel_unit(stored.reading.repeats.back().unit);
    r.plus_minus = wording::day(stored.at.ms, state.utc_offset_min);
}

row::ReadingRow reading_row(const AppState& state, const SwapSite& site,
                            const std::map<ReadAt, Reading>& refused, Phase phase, const Asked& a) {
    const Swap& swap = site.swap;
    const Field field{.of = Field::Of::reading, .phase = phase, .point = a.point, .end = a.end};
    const ReadAt spot{phase, a.end, a.point};
    row::ReadingRow r;
    r.id = "row:" + field_id(field);
    r.label = wording::short_label(a.point);
    r.optional = !a.wanted;
    r.open = state.pad && state.pad->field == field;
    r.tap = act::OpenTag{field};
    r.mark = a.wanted ? row::Mark::todo : row::Mark::none;  // the empty boxes are what narrows the answer
    if (saving(state, field)) {
        r.mark = row::Mark::saving;
    } else if (const auto kept = refused.find(spot); kept != refused.end()) {
        r.mark = row::Mark::question;
        r.value = wording::shown(kept->second);
        r.unit = is_text(a.point) ? "" : panel_unit(kept->second.repeats.back().unit);
        r.plus_minus = "not saved";
    } else if (const StoredReading* stored = swap.stored(spot)) {
        const bool rivals = swap.stored_readings.at(spot).size() > 1;
        r.mark = rivals ? row::Mark::question : row::Mark::done;
        const Typed& typed = stored->reading.repeats.back();
        const bool text = is_text(a.point);
        r.value = wording::shown(stored->reading);
        r.unit = text ? "" : panel_unit(typed.unit);
        r.plus_minus = rivals ? "two readings" : plus_minus(stored->reading);
        // The lengths say another preload: they count.
        if (a.point == Point::spring_preload && !rivals &&
            two_preloads(a.point, readings_in(swap, phase, a.end))) {
            r.mark = row::Mark::question;
            r.plus_minus = "does not count";
        }
    } else if (const StoredReading* carried = stored_at(site, a.end, phase, a.point)) {
        carried_row(state, *carried, r);
    } else if (const auto preload = following_preload(swap, field)) {
        r.mark = row::Mark::none;
        r.value = wording::value(*preload, state.ledger.units());
        r.unit = std::string(symbol(state.ledger.units().length));
        r.plus_minus = by_its_lengths;
    }
    return r;
}

// Beside what is set: what it is to be, by the answer or by the correction.
void say_what_to_set(const AppState& state, const Swap& swap, const Asked& a, row::ReadingRow& r) {
    const Field field{.of = Field::Of::reading, .phase = Phase::set, .point = a.point, .end = a.end};
    const auto to = is_answered(swap, a.end, a.point) ? same_value(state, field) : std::nullopt;
    if (!to) return;
    // What follows from the lengths is not set by itself.
    const auto ordered = value_to_set(state, field);
    if (following_preload(swap, field) && !(ordered && ordered->correction)) return;
    r.label += ", set to " + wording::typed_number(*to);
    if (awaits_correction(state, {Phase::set, a.end, a.point})) r.mark = row::Mark::todo;
}

// How much of the answer's ± each reading of an end makes, by its place; empty: there is no answer yet.
std::map<ReadAt, double> shares_of(const AppState& state, SolvedSwap& solved, Phase phase) {
    std::map<ReadAt, double> shares;
    const bool makes_answer = phase == Phase::before || phase == Phase::new_part;
    if (!makes_answer || !reachable(state, Step6::answer)) return shares;
    for (const EndSolution& e : solved.solution().ends) {
        const auto& answer = solved.uncertainty(e.end);
        const Uncertain* change = answer ? must_hold_change(*answer) : nullptr;
        if (!change || !e.input) continue;
        for (const Contribution& c : change->contributions) {
            const Slot& slot = e.input->inputs[c.input].slot;
            shares[{slot.phase, e.end, slot.point}] = c.share;
        }
    }
    return shares;
}

// Asked once per bike, at the first group that depends on it.
void how_read_rows(const BikeBody& bike, const Id& id, Group group, End end, std::vector<Row>& rows) {
    const auto choice = [&](const char* row, std::string label, std::vector<std::string> options,
                            std::array<Way, 2> ways, HowRead first, HowRead second) {
        const std::size_t none = options.size();
        rows.push_back(row::Choice{row,
                                   std::move(label),
                                   std::move(options),
                                   {act::SayHowRead{id, first}, act::SayHowRead{id, second}},
                                   none,
                                   {way_drawing(ways[0]), way_drawing(ways[1])}});
    };
    HowRead one = bike.how_read, other = bike.how_read;
    if (group == Group::heights && end == End::front && !bike.how_read.front_heights &&
        !bike.front.leverage) {
        one.front_heights = FrontHeights::along_fork;
        other.front_heights = FrontHeights::square;
        choice("how:front", "Heights are read", {"along the fork", "upright"},
               {Way::along_fork, Way::upright}, one, other);
    }
    if (group == Group::chain && end == End::rear && !bike.how_read.slack_stand) {
        one.slack_stand = Stand::hanging;
        other.slack_stand = Stand::swingarm;
        choice("how:slack", "Slack is read with", {"topped out", "stand under arm"},
               {Way::frame_carried, Way::stand_under_arm}, one, other);
    }
}

// A number of the bike that the answer will need: said before the work, not after it.
void needed_rows(const BikeBody& bike, const Swap& swap, std::vector<Row>& rows) {
    for (const End end : ends_of(swap)) {
        const auto map = map_of(bike, end);
        if (map || map.error().subject != "leverage" || !sets(swap, end)) continue;
        const bool front = end == End::front;
        rows.push_back(row::Button{
            front ? "needs:front" : "needs:rear",
            front ? "The answer will need the bike's rake" : "The answer will need the leverage ratio",
            front ? "or heights read along the fork" : "of the rear, from its linkage or a strut",
            act::OpenTag{
                {.of = Field::Of::bike, .bike = front ? BikeField::rake : BikeField::rear_leverage}}});
    }
}

// A damper often takes over the spring of the one before it: then nothing of the spring is read again.
row::Button spring_row(const Swap& swap, End end) {
    const StoredReading* said = swap.stored({Phase::new_part, end, Point::spring_moved});
    const bool moved = said && measured(said->reading).value == 1.0;
    return {std::string("spring-moved:") + std::string(key(end)),
            end == End::rear ? "The old spring goes on it" : "The old springs go into it",
            moved ? "its rate and length are those of before" : "then only its preload is read",
            act::MoveSpring{end, !moved},
            true,
            moved};
}

// The insides are shown where one was read, or when the person asks for them.
bool hidden(const AppState& state, const SwapSite& site, Phase phase, const Asked& a) {
    // One that was read of the old unit is asked of the new one, too.
    const bool read =
        stored_at(site, a.end, phase, a.point) || stored_at(site, a.end, Phase::before, a.point);
    return a.inside && !state.inside_open && !read && !(state.pad && state.pad->field.point == a.point);
}

}  // namespace

std::optional<Length> following_preload(const Swap& swap, const Field& field) {
    if (field.point != Point::spring_preload) return std::nullopt;
    return preload_by_lengths(readings_in(swap, field.phase, field.end));
}

void reading_rows(const AppState& state, SolvedSwap& solved, Phase phase, PageView& page) {
    const SwapSite& site = solved.site();
    const Swap& swap = site.swap;
    const auto shares = shares_of(state, solved, phase);
    const auto refused = refused_readings(state, swap);
    const bool both = ends_of(swap).size() > 1;
    std::optional<std::pair<End, Group>> under;
    bool more = false;
    if (phase == Phase::before) needed_rows(site.bike, swap, page.panel.rows);
    for (const Asked& a : asked(swap, phase)) {
        if (hidden(state, site, phase, a)) {
            more = true;
            continue;
        }
        if (const std::pair here{a.end, group_of(a.point)}; here != under) {
            under = here;
            const std::string name = group_name(here.second, a.end);
            page.panel.rows.push_back(row::Heading{both ? wording::heading(a.end) + ": " + name : name});
            if (phase == Phase::before)
                how_read_rows(site.bike, swap.bike, here.second, a.end, page.panel.rows);
        }
        if (a.point == Point::spring_moved) {
            page.panel.rows.push_back(spring_row(swap, a.end));
            continue;
        }
        row::ReadingRow r = reading_row(state, site, refused, phase, a);
        if (phase == Phase::set) say_what_to_set(state, swap, a, r);
        if (const auto share = shares.find({phase, a.end, a.point}); share != shares.end())
            r.share = share->second;
        page.panel.rows.push_back(std::move(r));
    }
    if (more)
        page.panel.rows.push_back(row::Button{"inside", "There is more inside it",
                                              "helper, top-out spring, bump rubber, gas volume",
                                              act::AskInside{}});
}

}  // namespace restand
