// How the answer's inputs are known, and what that makes of it.

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "app/swap/answer_parts.h"
#include "app/views/known_from.h"
#include "app/views/point_wording.h"

namespace restand {

namespace {
// "gas force, new"; the heights were read before, whatever the part.
std::string input_name(const Slot& slot) {
    const bool fresh = slot.phase == Phase::new_part;
    return wording::label(slot.point) + (fresh ? ", new" : is_ride_height(slot.point) ? "" : ", old");
}

// "as the old one ± 255 N"
std::string taken_as(const AnswerWriter& w, const SwapInput& input) {
    const Unit unit = chosen(w.units, facts(input.slot.point).dimension);
    const double u = expanded_95(input.known);
    const std::string range =
        fmt::format("± {} {}", wording::plain(from_canonical(u, unit), unit), symbol(unit));
    if (!input.beside) return fmt::format("taken as {} {}", wording::value(input.known.value, unit), range);
    if (input.slot.point == input.beside->point)
        return fmt::format("taken as on the {} part {}", input.beside->phase == Phase::before ? "old" : "new",
                           range);
    return fmt::format("taken {} from {} {}", wording::signed_value(input.known.value, unit),
                       wording::label(input.beside->point), range);
}
// Inputs that are known alike.
struct Carried {
    std::vector<std::string> labels;
    const SwapInput* newest = nullptr;
};
KnownFrom known_from(const AppState& state, End end, const SwapInput& carried) {
    const SolvedSwap* solved = solved_swap(state);
    const StoredReading* stored =
        solved ? stored_at(solved->site(), end, carried.slot.phase, carried.slot.point) : nullptr;
    return stored ? known_from(state, solved->site().stood.baseline, end, *stored) : KnownFrom::baseline;
}
}  // namespace

void wished_row(const AnswerWriter& w, const AppState& state, const Swap& swap, End end) {
    const auto& wished = state.wished;
    if (!wished || wished->bike != swap.bike || wished->end != end) return;
    w.rows.push_back(
        row::Button{"wished", fmt::format("Rider sag {} was wished", w.with_unit(wished->wish.rider_sag)),
                    "'Which spring?' says what to set for it", act::ShowSprings{swap.bike, end}});
}

// What was not read and what it is taken as; a tap reads it. What was kept once stands in for today's reading.
void known_rows(const AnswerWriter& w, const AppState& state, const CaseInput& input) {
    const End end = input.swap_case.end;
    std::map<KnownFrom, Carried> carried;
    bool any = false;
    for (const SwapInput& i : input.inputs) {
        if (i.origin == Origin::carried) {
            Carried& alike = carried[known_from(state, end, i)];
            alike.labels.push_back(wording::label(i.slot.point));
            if (!alike.newest || alike.newest->at < i.at) alike.newest = &i;
        }
        if (i.origin != Origin::assumed) continue;
        if (!any) w.rows.push_back(row::Heading{"Not read, and taken as"});
        any = true;
        // What is of the whole bike is read once, where the swap asks for it.
        const Swap* swap = open_swap(state);
        const End asked_at = is_of_bike(i.slot.point) && swap ? ends_of(*swap).front() : end;
        const Field field{
            .of = Field::Of::reading, .phase = i.slot.phase, .point = i.slot.point, .end = asked_at};
        w.rows.push_back(row::Button{"assumed:" + field_id(field), input_name(i.slot), taken_as(w, i),
                                     act::OpenTag{field}});
    }
    for (const auto& [from, alike] : carried)
        w.rows.push_back(row::Note{fmt::format(
            "As {}, {}: {}.",
            from == KnownFrom::baseline ? "kept"
            : from == KnownFrom::since  ? "set or measured since"
                                        : "measured at a way back that was not restored",
            who_and_when(state, alike.newest->by, alike.newest->at.ms), fmt::join(alike.labels, " · "))});
}

// p' = (k/k')(p + x) − x: between nearly equal rates the preload hardly follows the heights.
bool heights_hardly_matter(const Uncertain& change, const std::vector<SwapInput>& inputs) {
    const auto rate = [&inputs](Phase phase) {
        const auto at = std::find_if(inputs.begin(), inputs.end(), [phase](const SwapInput& i) {
            return i.slot.phase == phase && i.slot.point == Point::spring_rate;
        });
        return at == inputs.end() ? 0.0 : at->known.value;
    };
    const double before = rate(Phase::before), now = rate(Phase::new_part);
    if (before <= 0 || now <= 0 || std::fabs(before / now - 1) > 0.1) return false;
    double heights = 0;
    for (const Contribution& c : change.contributions)
        if (c.input < inputs.size() && is_ride_height(inputs[c.input].slot.point)) heights += c.share;
    return heights < 0.1;
}

// What the steps cost against the exact setting, and what to measure again for a surer answer.
void worth_rows(const AnswerWriter& w, const UncertainAnswer& s, const CaseInput& input) {
    const std::vector<SwapInput>& inputs = input.inputs;
    const Answer& a = s.answer;
    const auto exact = a.predicted.residual_at(State::rider),
               stepped = a.predicted_detent.residual_at(State::rider);
    // A length that somebody assumed is no exact one, nor is one that follows from a usual length.
    const bool lengths_read = input.free_length_known && input.swap_case.end == End::rear &&
                              std::none_of(inputs.begin(), inputs.end(), [](const SwapInput& i) {
                                  return i.origin == Origin::assumed && i.slot.point == Point::eye_to_eye;
                              });
    if (exact && stepped)
        w.rows.push_back(row::Note{
            fmt::format("Nearest step{}. The step costs {} at the axle, rider on.",
                        lengths_read ? fmt::format("; exact would be {} and {}", w.len(a.setting.length),
                                                   w.len(a.setting.installed_length))
                                     : "",
                        w.with_unit(abs(*stepped - *exact))),
            Ink::ink, false, true});
    const Uncertain* change = must_hold_change(s);
    if (!change || change->contributions.empty()) return;
    w.rows.push_back(row::Note{
        fmt::format(
            "19 times in 20 the height to be held comes back within {}: fit it, measure, correct once.",
            w.with_unit(mm(change->expanded))),
        Ink::ink, false, true});
    if (heights_hardly_matter(*change, inputs))
        w.rows.push_back(
            row::Note{"The rates are nearly the same: heights hardly matter here, the stamped "
                      "rates and the gas force do.",
                      Ink::ink, false, true});
    const Contribution& most = change->contributions.front();
    if (most.input >= inputs.size() || most.share < 0.3) return;
    const SwapInput& makes_most = inputs[most.input];
    w.rows.push_back(
        row::Note{fmt::format("Most of the ±: {}. {} for a surer answer.", input_name(makes_most.slot),
                              makes_most.origin == Origin::assumed ? "Read it" : "Measure it again"),
                  Ink::ink, false, true});
}

}  // namespace restand
