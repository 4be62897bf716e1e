#include "app/swap/answer_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/swap/answer_parts.h"
#include "app/swap/setting_rows.h"
#include "app/swap/to_set.h"
#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "core/ledger/reading_at_fault.h"

namespace restand {

namespace {
void line(const AnswerWriter& w, const char* label, std::optional<std::string> was,
          std::optional<std::string> will, bool held) {
    if (was || will) w.rows.push_back(row::TableLine{label, was.value_or("–"), will.value_or("–"), held});
}

template <class T, class F>
std::optional<std::string> map_value(const std::optional<T>& v, F f) {
    return v ? std::optional<std::string>(f(*v)) : std::nullopt;
}

// The heights of one state before and after. A height that nobody read has no number; what becomes of it does.
void height_line(const AnswerWriter& w, const CaseInput& input, const UncertainAnswer& answer,
                 const Prediction& after, State state) {
    static constexpr const char* names[] = {"ride height, topped out", "ride height, static",
                                            "ride height, rider"};
    const auto i = static_cast<std::size_t>(state);
    const auto residual = after.residual_at(state);
    if (!residual || !after.at(state)) return;
    const bool held = abs(*residual) <= input.swap_case.tolerance;
    const std::string known = plus_minus(w, answer.change[i]);
    const std::string tail = known.empty() ? "" : " " + known;
    if (input.find({Phase::before, ride_heights[i]}) && !input.assumed({Phase::before, ride_heights[i]}))
        w.rows.push_back(row::TableLine{names[i], w.len(answer.answer.before.at(state)->height),
                                        w.len(after.at(state)->height) + tail, held});
    else
        w.rows.push_back(row::TableLine{names[i], "not read", w.signed_len(*residual) + tail, held});
}

void prediction_rows(const AnswerWriter& w, const CaseInput& input, const UncertainAnswer& answer,
                     const Prediction& after) {
    const Prediction& before = answer.answer.before;
    w.rows.push_back(row::TableHead{"was", "will be"});
    for (const State s : all_states) height_line(w, input, answer, after, s);
    const bool heights_known = !input.assumed({Phase::before, Point::ride_height_rider}) &&
                               !input.assumed({Phase::before, Point::ride_height_topped_out});
    if (!heights_known) return;
    auto len = [&](Length v) { return w.len(v); };
    line(w, "rider sag", map_value(before.rider_sag, len), map_value(after.rider_sag, len), false);
    line(w, "free sag", map_value(before.free_sag, len), map_value(after.free_sag, len), false);
    for (const Phase phase : {Phase::before, Phase::new_part})
        if (input.assumed({phase, Point::spring_rate})) return;
    auto rate = [&](Rate v) { return w.rate(v); };
    const std::string name = fmt::format("wheel rate, {}", symbol(w.units.rate));
    line(w, name.c_str(), map_value(before.wheel_rate, rate), map_value(after.wheel_rate, rate), false);
}

// What is in the way, in words, the number included.
std::string limit_sentence(const AnswerWriter& w, const Limit& l, const CaseInput& input, const Swap& swap) {
    const End end = input.swap_case.end;
    const Length bound = end == End::rear ? l.bound : fork_position(input, swap, l.bound);
    const bool adjusts = input.swap_case.length.min < input.swap_case.length.max;
    if (l.code == LimitCode::length_adjuster_bound && !adjusts)
        return fmt::format(
            "{} more is wanted. How far {} can be adjusted is not read; it is taken as fixed at {}.",
            w.with_unit(l.beyond), end == End::rear ? "its length" : "the fork position", w.with_unit(bound));
    return wording::limit(l.code, end, w.with_unit(bound), w.with_unit(l.beyond));
}

// `check`: of a correction. What was not read again says nothing there.
void not_held(const AnswerWriter& w, const Answer& a, const CaseInput& input, const Swap& swap,
              const CheckResult* check = nullptr) {
    const auto counts = [check](State state) {
        return !check || std::any_of(check->heights.begin(), check->heights.end(),
                                     [state](const HeightCheck& h) { return h.state == state; });
    };
    for (State s : all_states)
        if (const auto r = a.predicted_detent.residual_at(s);
            r && counts(s) && abs(*r) > input.swap_case.tolerance)
            w.rows.push_back(row::Note{fmt::format("Not held: ride height {}, {} {}.", wording::state(s),
                                                   w.signed_len(*r), w.len_unit()),
                                       Ink::ink, true});
    constexpr Length shown = mm(0.05);  // a bound that is met to what the page shows is none
    for (const Limit& l : a.limits)
        if (l.beyond >= shown || !a.can_be_ridden())
            w.rows.push_back(
                row::Note{limit_sentence(w, l, input, swap), a.held ? Ink::now : Ink::stop, true});
    if (const auto margin = a.predicted_detent.block_margin; margin && margin->value >= 0)
        w.rows.push_back(row::Note{fmt::format("Coils clear by {} at full travel.", w.with_unit(*margin))});
    if (!a.predicted_detent.block_margin)
        w.rows.push_back(
            row::Note{"Whether the coils touch before full travel is not known: read the length at "
                      "which they touch, and the travel.",
                      Ink::now});
}

// How it will stand with the rider, how it stood before as its ghost.
void draw_prediction(const AnswerWriter& w, const AppState& state, const Bike& bike, const SwapSite& site,
                     const CaseInput& input, const Answer& a, PageView& page) {
    const Swap& swap = site.swap;
    const End end = input.swap_case.end;
    const Prediction& p = a.predicted_detent;
    auto known = known_before(state, swap, end);
    if (end == End::rear) known[Point::eye_to_eye] = a.detent.length.value;
    known[Point::spring_installed_length] = a.detent.installed_length.value;
    if (const auto rider = p.at(State::rider)) known[Point::ride_height_rider] = rider->height.value;
    PictureInput in = picture_of(bike.body, end, Scene::stand, known);
    if (const auto at = p.at(State::rider) ? p.at(State::rider) : p.at(State::static_))
        in.height = at->height;
    // The same state before: where the two lines part, the height is not held.
    if (const auto at = a.before.at(State::rider) ? a.before.at(State::rider) : a.before.at(State::static_))
        in.ghost = at->height;
    const BikePicture pic = picture(in);
    page.drawing = drawing_of(pic);
    auto& tags = page.drawing.tags;
    const Slot read{Phase::before, Point::ride_height_rider};
    if (const auto rider = p.at(State::rider); rider && input.find(read) && !input.assumed(read)) {
        tags.push_back(length_tag(w, "tag:answer:rider", Point::ride_height_rider, rider->height, pic));
        if (const StoredReading* was = swap.stored({Phase::before, end, Point::ride_height_rider}))
            tags.back().note = "before: " + wording::reading(was->reading);
    }
    page.drawing.caption = wording::pen(page.night) + ": as answered, rider on · blue: before, rider on";
    if (!a.held) return;  // nothing to set
    if (end == End::rear && is_length_read(site, end))
        tags.push_back(length_tag(w, "tag:answer:length", Point::eye_to_eye, a.detent.length, pic));
    if (input.free_length_known)
        tags.push_back(length_tag(w, "tag:answer:installed", Point::spring_installed_length,
                                  a.detent.installed_length, pic));
}

std::string missing_sentence(const Error& e, End end) {
    if (e.code == ErrorCode::missing && e.subject == "leverage")
        return e.detail == "front" ? "The bike's rake is not known yet."
                                   : "The bike's rear leverage ratio is not known yet.";
    return wording::sentence(e, end);
}

// `end`: whose case it is that cannot be solved.
void no_answer(const AppState& state, const Bike& bike, End end, const Error& e, PageView& page) {
    const Swap& swap = *open_swap(state);
    if (ends_of(swap).size() > 1) page.panel.rows.push_back(row::Heading{wording::heading(end)});
    page.panel.rows.push_back(row::Verdict{"No answer yet", missing_sentence(e, end), Ink::stop});
    // A number of the bike, not a reading of the swap.
    const bool of_the_bike =
        e.subject == "leverage" || e.subject.starts_with("linkage") || e.detail == "bike";
    if (e.subject == "leverage")
        page.primary = {
            e.detail == "front" ? "Give its rake" : "Give its leverage ratio",
            act::OpenTag{{.of = Field::Of::bike,
                          .bike = e.detail == "front" ? BikeField::rake : BikeField::rear_leverage}},
            ""};
    else if (of_the_bike)
        page.primary = {"Give the bike's numbers", act::EditBike{bike.id}, ""};
    else if (const auto spot = reading_at_fault(e, end, &swap))
        page.primary = {"Read: " + label_in(swap, spot->end, spot->point), act::OpenTag{field_of(*spot)}, ""};
    else
        page.primary = {"Look at the readings", act::GoToStep{Step6::before}, ""};
}

row::Verdict do_not_fit() {
    return {"Do not fit", "The bike would not stand as before, or could not be ridden:", Ink::stop};
}

row::Verdict beyond_this_part() {
    return {"Do not fit", "No setting of this part brings the bike back:", Ink::stop};
}

struct EndAnswer {
    End end;
    const CaseInput& input;
    const UncertainAnswer& uncertain;
};

void end_rows(const AnswerWriter& w, const EndAnswer& e, const SwapSite& site, bool named) {
    const Swap& swap = site.swap;
    const Answer& a = e.uncertain.answer;
    const SwapCase& c = e.input.swap_case;
    if (named) w.rows.push_back(row::Heading{wording::heading(e.end)});
    // Bad news first; a part that cannot be ridden gets no large numbers to set.
    if (!a.limits.empty()) not_held(w, a, e.input, swap);
    if (a.held) setting_rows(w, e.uncertain, e.input, site, {c.length.now, c.installed.now});
    if (a.limits.empty()) not_held(w, a, e.input, swap);
    if (c.raise.value != 0.0)
        w.rows.push_back(row::Note{
            fmt::format("The tyre's radius changes by {} {}; the ride height to be had goes the other "
                        "way, so that the frame stands over the ground as before.",
                        w.signed_len(-c.raise), w.len_unit())});
}

void end_table(const AnswerWriter& w, const EndAnswer& e, bool named) {
    if (named) w.rows.push_back(row::Heading{wording::heading(e.end)});
    prediction_rows(w, e.input, e.uncertain, e.uncertain.answer.predicted_detent);
}

// A correction that can be set was ordered since: what stands on the page was the first answer.
bool is_corrected(const SolvedSwap& solved) {
    const auto& ends = solved.solution().ends;
    return solved.corrects_axle() || std::any_of(ends.begin(), ends.end(), [&](const EndSolution& e) {
               return solved.standing(e.end) || e.orders_what_can_be_ridden();
           });
}

// Such a correction is made.
bool was_corrected(const SolvedSwap& solved) {
    const auto& ends = solved.solution().ends;
    return std::any_of(ends.begin(), ends.end(), [&](const EndSolution& e) {
        const ExpectedAsSet* expected = solved.expected(e.end);
        return expected && expected->corrected;
    });
}

// What is said above an answer that was corrected; the key that leads on from it.
std::string head_answer(const SolvedSwap& solved, std::vector<Row>& rows) {
    if (is_corrected(solved)) {
        rows.push_back(row::Note{"This was the first answer. The correction from the check stands on 'Set'.",
                                 Ink::now, true});
        return "To the correction";
    }
    if (!was_corrected(solved)) return "I have set it";
    rows.push_back(row::Note{
        "This was the first answer. It was corrected since; what is set stands on 'Set'.", Ink::now, true});
    return "To what is set";
}

// An end that has no answer does not keep the other one's.
std::vector<EndAnswer> answered_ends(const AppState& state, const Bike& bike, SolvedSwap& solved,
                                     PageView& page) {
    std::vector<EndAnswer> ends;
    for (const EndSolution& e : solved.solution().ends) {
        const auto& answer = solved.uncertainty(e.end);
        if (answer)
            ends.push_back({e.end, *e.input, *answer});
        else
            no_answer(state, bike, e.end, answer.error(), page);
    }
    return ends;
}
}  // namespace

void answer_panel(const AppState& state, const Bike& bike, SolvedSwap& solved, PageView& page) {
    const Swap& swap = solved.site().swap;
    AnswerWriter w{state.ledger.units(), page.panel.rows};
    const std::vector<EndAnswer> ends = answered_ends(state, bike, solved, page);
    const auto& chain = solved.solution().chain;
    const bool refits = refits_chain(swap);
    if (refits && !chain) no_answer(state, bike, End::rear, chain.error(), page);
    const bool whole = ends.size() == solved.solution().ends.size() && (!refits || chain);
    if (state.pad) page.primary = {"Keep this reading", act::PadNext{}, ""};
    const bool chained = refits && chain;
    if (ends.empty() && !chained) {
        const End end = ends_of(swap).front();
        page.drawing =
            drawing_of(picture(picture_of(bike.body, end, Scene::stand, known_before(state, swap, end))));
        return;
    }

    const std::string lead_on = head_answer(solved, w.rows);
    const bool held =
        std::all_of(ends.begin(), ends.end(), [](const EndAnswer& e) { return e.uncertain.answer.held; }) &&
        (!chained || chain->in_slot);
    if (!held) {
        page.panel.title = swap.parts.size() > 1 ? "Not with these parts" : "Not with this part";
        w.rows.push_back(do_not_fit());
    }
    answered_chain_rows(state, solved, w.rows);
    if (chained) chain_rows(w, *chain);
    if (const auto& rear = solved.solution().rear_with_axle_moved; rear && chained && ends.empty())
        moved_axle(w, *rear);
    const bool named = solved.solution().ends.size() > 1 || refits;
    for (const EndAnswer& e : ends) {
        end_rows(w, e, solved.site(), named);
        wished_row(w, state, swap, e.end);
    }
    if (chained) chain_table(w, *chain);
    for (const EndAnswer& e : ends) end_table(w, e, named);
    if (!refits && chain && ends_of(swap).front() == End::rear) slack_line(w, *chain);
    for (const EndAnswer& e : ends) known_rows(w, state, e.input);
    if (const auto& both = solved.solution().attitudes) attitude_rows(w, *both);
    for (const EndAnswer& e : ends) worth_rows(w, e.uncertain, e.input);
    if (ends.empty())
        draw_chain(state, bike, swap, *chain, page);
    else
        draw_prediction(w, state, bike, solved.site(), ends.front().input, ends.front().uncertain.answer,
                        page);
    if (state.pad || !whole) return;  // the pad's key, or that of what lacks
    if (held)
        page.primary = {lead_on, act::GoToStep{Step6::set}, ""};
    else
        page.primary = {"Try another part", act::GoToStep{Step6::new_part}, ""};
}

void refusal_rows(const AppState& state, const SolvedSwap& solved, std::vector<Row>& rows) {
    const AnswerWriter w{state.ledger.units(), rows};
    const Swap& swap = solved.site().swap;
    for (const EndSolution& e : solved.solution().ends) {
        if (!e.answer || !e.input) continue;
        const bool beyond = e.ordered() && !e.ordered()->can_be_ridden();
        if (e.answer->held && !beyond) continue;
        if (solved.solution().ends.size() > 1) rows.push_back(row::Heading{wording::heading(e.end)});
        rows.push_back(beyond ? beyond_this_part() : do_not_fit());
        if (beyond)
            not_held(w, *e.ordered(), *e.input, swap, e.judged());
        else
            not_held(w, *e.answer, *e.input, swap);
    }
}

void correction_rows(const AppState& state, const SwapSite& site, const EndSolution& end, PageView& page) {
    const Swap& swap = site.swap;
    if (!end.correction || !end.input) return;
    const SwapCase& c = end.input->swap_case;
    SetFrom from{c.length.now, c.installed.now};
    auto set = [&](Point p) { return swap.stored({Phase::set, end.end, p}); };
    if (const StoredReading* t = set(Point::eye_to_eye)) from.length = mm(measured(t->reading).value);
    if (const StoredReading* t = set(Point::fork_position))
        from.length =
            c.length.now + (fork_position(*end.input, swap, c.length.now) - mm(measured(t->reading).value));
    if (const StoredReading* t = set(Point::spring_installed_length))
        from.installed = mm(measured(t->reading).value);
    else if (const StoredReading* preload = set(Point::spring_preload))
        from.installed = free_length(c.new_unit) - mm(measured(preload->reading).value);
    AnswerWriter w{state.ledger.units(), page.panel.rows};
    const bool may_be_set = end.correction->can_be_ridden();
    w.rows.push_back(row::Heading{may_be_set ? "Correction, from what is set now"
                                             : "No setting of this part brings it back"});
    UncertainAnswer plain{};
    plain.answer = *end.correction;
    if (may_be_set) setting_rows(w, plain, *end.input, site, from);
    not_held(w, *end.correction, *end.input, swap, end.judged());
}

void set_prediction(const AppState& state, const SolvedSwap& solved, PageView& page) {
    const Swap& swap = solved.site().swap;
    for (const EndSolution& e : solved.solution().ends) {
        const ExpectedAsSet* expected = solved.expected(e.end);
        if (!expected || !e.answer) continue;
        AnswerWriter w{state.ledger.units(), page.panel.rows};
        w.rows.push_back(row::Heading{ends_of(swap).size() > 1 ? "With what you set, " + wording::end(e.end)
                                                               : "With what you set"});
        UncertainAnswer plain{};
        plain.answer = *e.answer;
        prediction_rows(w, *e.input, plain, expected->heights);
    }
}

}  // namespace restand
