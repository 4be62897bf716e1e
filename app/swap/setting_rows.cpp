#include "app/swap/setting_rows.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/swap/to_set.h"
#include "core/ledger/swap_site.h"

namespace restand {

std::string plus_minus(const AnswerWriter& w, const std::optional<Uncertain>& u) {
    if (!u || u->expanded <= 0) return "";
    const double v = from_canonical(u->expanded, w.units.length);
    return fmt::format("± {}", print_fixed(v, v < 0.095 ? 2 : 1));
}

namespace {
// "½ turn = 1.4 mm at the axle"; without a thread, what a millimetre does.
std::string step_note(const AnswerWriter& w, const Step& step, bool threaded) {
    const auto at_axle = step.rider ? step.rider : step.static_;
    if (!at_axle || step.setting.value == 0) return "";
    const double part = threaded ? 0.5 : 1.0 / std::fabs(step.setting.value);
    return fmt::format("{} = {} at the axle", threaded ? "½ turn" : "1 mm",
                       w.with_unit(abs(*at_axle * part)));
}

std::string join(std::initializer_list<std::string> parts) {
    std::string s;
    for (const auto& p : parts)
        if (!p.empty()) s += (s.empty() ? "" : " · ") + p;
    return s;
}

bool limited(const Answer& a, std::initializer_list<LimitCode> codes) {
    return std::any_of(a.limits.begin(), a.limits.end(), [&](const Limit& l) {
        return std::find(codes.begin(), codes.end(), l.code) != codes.end();
    });
}

void rear_length(const AnswerWriter& w, const Setting& s, const SetFrom& from, bool fixed, row::Big& big) {
    big.label = "length, eye to eye";
    big.value = w.len(s.length);
    if (s.length_turns)
        big.action = wording::turns(*s.length_turns, "out", "in");
    else if (fixed)
        big.action = "as it is";
    big.from = "from " + w.len(from.length);
}

// Of a length that nobody read its change alone is known.
void change_of_length(const AnswerWriter& w, Length by, End end, row::Big& big) {
    const bool rear = end == End::rear;
    big.label = rear ? "length, from what it is" : "fork position, from what it is";
    big.value = w.signed_len(rear ? by : -by);
    if (abs(by) < mm(0.05)) big.action = "leave it";
}

void front_position(const AnswerWriter& w, Length to, Length from, row::Big& big) {
    big.label = "fork position, above the upper yoke";
    big.value = w.len(to);
    const Length change = to - from;
    big.action = abs(change) < mm(0.05)
                     ? "leave it"
                     : fmt::format("tubes {} {}", change.value > 0 ? "up" : "down", w.len(abs(change)));
    big.from = "from " + w.len(from);
}

void length_row(const AnswerWriter& w, const UncertainAnswer& uncertain_answer, const CaseInput& input,
                const SwapSite& site, const SetFrom& from) {
    const Swap& swap = site.swap;
    const SwapCase& c = input.swap_case;
    const Answer& a = uncertain_answer.answer;
    row::Big big;
    big.id = "big:length";
    big.limit = limited(a, {LimitCode::length_adjuster_bound});
    big.unit = w.len_unit();
    const bool fixed = c.length.min == c.length.max;
    const bool rear = c.end == End::rear;
    if (!is_length_read(site, c.end))
        change_of_length(w, a.detent.length - from.length, c.end, big);
    else if (rear)
        rear_length(w, a.detent, from, fixed, big);
    else
        front_position(w, fork_position(input, swap, a.detent.length),
                       fork_position(input, swap, from.length), big);
    big.note = join({plus_minus(w, uncertain_answer.length),
                     fixed ? "" : step_note(w, a.length_step, a.detent.length_turns.has_value())});
    w.rows.push_back(std::move(big));
}

// The collar's turns from where the spring just touches, where it was not found on the part; "" if its thread
// is not read.
std::string turns_from_touch(const Answer& a, End end, const SwapSite& site) {
    if (a.detent.collar_turns || a.detent.preload <= mm(0)) return "";
    const StoredReading* pitch = stored_at(site, end, Phase::new_part, Point::collar_mm_per_turn);
    if (!pitch && !replaces(site.swap, end, Point::collar_mm_per_turn))
        pitch = stored_at(site, end, Phase::before, Point::collar_mm_per_turn);
    if (!pitch) return "";
    return wording::turns(in_mm(a.detent.preload) / measured(pitch->reading).value,
                          "from where it just touches", "");
}

// Where nobody knows the new spring's length, its preload is what can be set.
void collar_row(const AnswerWriter& w, const UncertainAnswer& uncertain_answer, const CaseInput& input,
                const SwapSite& site, const SetFrom& from) {
    const Answer& a = uncertain_answer.answer;
    const bool by_length = input.free_length_known;
    const std::string spring = input.swap_case.end == End::front ? "springs, " : "spring, ";
    row::Big big;
    big.id = "big:installed";
    big.label = spring + (by_length ? "installed" : "preload");
    big.value = w.len(by_length ? a.detent.installed_length : a.detent.preload);
    big.unit = w.len_unit();
    big.limit = limited(
        a, {LimitCode::negative_preload, LimitCode::collar_bound, LimitCode::coil_bind_before_full_travel});
    const bool from_known = !input.assumed({Phase::before, Point::spring_preload}) ||
                            input.find({Phase::new_part, Point::spring_rate});
    if (a.detent.collar_turns && from_known) {
        big.action = wording::turns(*a.detent.collar_turns, "in", "out");
        big.from = "from " + w.len(by_length ? from.installed
                                             : a.detent.preload + a.detent.installed_length - from.installed);
    }
    big.note = join({by_length ? "preload " + w.len(a.detent.preload) : "",
                     turns_from_touch(a, input.swap_case.end, site),
                     plus_minus(w, by_length ? uncertain_answer.installed_length : uncertain_answer.preload),
                     step_note(w, a.collar_step, a.detent.collar_turns.has_value())});
    w.rows.push_back(std::move(big));
}

// Other springs in the same fork: what lies between them and the cap is longer or shorter by as much.
void spacer_row(const AnswerWriter& w, const UncertainAnswer& uncertain_answer, const CaseInput& input,
                const SwapSite& site) {
    constexpr Length by_adjuster = mm(3);  // less is what an adjuster does; judgement, no source
    const StoredReading* was = stored_at(site, End::front, Phase::before, Point::spring_installed_length);
    if (!site.swap.has(SwapPart::fork_springs) || !was || !input.free_length_known) return;
    const Length shorter = mm(measured(was->reading).value) - uncertain_answer.answer.detent.installed_length;
    if (abs(shorter) < by_adjuster) return;
    w.rows.push_back(
        row::Note{fmt::format("The springs are {} {} in the fork than the old ones: the spacer is "
                              "{} by that, less what the adjuster takes up.",
                              w.with_unit(abs(shorter)), shorter > mm(0) ? "shorter" : "longer",
                              shorter > mm(0) ? "longer" : "shorter"),
                  Ink::now});
}
}  // namespace

void setting_rows(const AnswerWriter& w, const UncertainAnswer& uncertain_answer, const CaseInput& input,
                  const SwapSite& site, const SetFrom& from) {
    const SwapCase& c = input.swap_case;
    const bool whole = site.swap.has(c.end == End::rear ? SwapPart::shock : SwapPart::fork);
    if (whole || c.length.min != c.length.max) length_row(w, uncertain_answer, input, site, from);
    collar_row(w, uncertain_answer, input, site, from);
    if (c.end == End::front) spacer_row(w, uncertain_answer, input, site);
}

}  // namespace restand
