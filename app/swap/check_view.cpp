#include "app/swap/check_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/season/baselines_view.h"
#include "app/swap/answer_parts.h"
#include "app/swap/answer_view.h"
#include "app/swap/to_set.h"
#include "app/views/check_rows.h"
#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/view_parts.h"
#include "app/views/wording.h"
#include "core/ledger/map_of.h"

namespace restand {

namespace {
// The load of the check is not that of before: said beside the heights that were computed for it.
void state_row(const AppState& state, const LoadChange& load, std::vector<Row>& rows) {
    const Unit unit = state.ledger.units().mass;
    for (const auto& [name, mass] :
         {std::pair{"Fuel", load.fuel}, {"Rider", load.rider}, {"On the scales", load.scales}})
        if (mass && mass->value != 0.0)
            rows.push_back(row::Note{
                fmt::format("{}: {} {} {} than before. The heights to be are computed for that.", name,
                            wording::plain(from_canonical(std::fabs(mass->value), unit), unit, 1),
                            symbol(unit), mass->value > 0 ? "more" : "less")});
    if (load.damper && load.damper->now_c != load.damper->sealed_c)
        rows.push_back(row::Note{
            fmt::format("Damper: {:.0f} °C {} than before. The heights to be are computed for that.",
                        std::fabs(load.damper->now_c - load.damper->sealed_c),
                        load.damper->now_c > load.damper->sealed_c ? "warmer" : "colder")});
}

// Which other load would make the same difference: fuel out, another tank, other kit.
void load_row(const AppState& state, const BikeBody& bike, const EndSolution& end, const CheckResult& check,
              std::vector<Row>& rows) {
    // With the wheel off the ground no load counts: a length that is off there is not made by one.
    const bool hangs_off = check.heights.front().state == State::topped_out &&
                           check.heights.front().verdict == Verdict::not_restored;
    const HeightCheck& height = check.heights.back();
    if (height.verdict != Verdict::not_restored || !end.as_set || check.all_off || hangs_off) return;
    auto load = height.state == State::topped_out ? std::nullopt : load_for(height, *end.as_set);
    if (load) load = *load / upright_rise(bike, end.end);
    if (!load || abs(*load).value < 1.0) return;
    const Unit unit = state.ledger.units().mass;
    rows.push_back(row::Note{
        fmt::format("Or another load: {} {} {} on this wheel would do it. Same fuel, tank and kit as before?",
                    wording::plain(from_canonical(abs(*load).value, unit), unit, 1), symbol(unit),
                    load->value > 0 ? "more" : "less")});
}

void slack_sentence(const AppState& state, const SolvedSwap& solved, std::vector<Row>& rows) {
    const auto& slack = solved.solution().slack;
    if (!slack || slack->verdict != Verdict::not_restored) return;
    const Length off = slack->is - slack->to_be;
    rows.push_back(
        row::Note{fmt::format("The chain is {} too {}.", wording::length(abs(off), state.ledger.units()),
                              off < mm(0) ? "tight" : "loose"),
                  Ink::stop, true});
}

// Slack as it was to be, and as it is.
void slack_rows(const AppState& state, const SolvedSwap& solved, std::vector<Row>& rows) {
    const auto& chain = solved.solution().chain;
    const auto& slack = solved.solution().slack;
    if (!chain || !slack) return;
    const UnitChoice units = state.ledger.units();
    rows.push_back(row::TableHead{"to be", "is"});
    rows.push_back(row::TableLine{"chain slack, " + read_how(chain->will),
                                  wording::value(slack->to_be, units), wording::value(slack->is, units)});
}

// Where the axle goes to make the slack as it was to be.
void axle_rows(const AppState& state, const SolvedSwap& solved, std::vector<Row>& rows) {
    const auto& slack = solved.solution().slack;
    if (slack && slack->axle) axle_correction_rows({state.ledger.units(), rows}, *slack->axle);
}

// The verdict on the whole swap. Of a chain alone, the words for heights do not fit.
void swap_verdict_row(const SwapSolution& solution, std::vector<Row>& rows) {
    const auto verdict = solution.verdict();
    if (solution.refits_chain && !solution.slack)
        rows.push_back(
            row::Verdict{"Not checked", "The chain's slack was not read with the new parts on.", Ink::stop});
    if (!verdict) return;
    verdict_row(*verdict, rows);
    if (!solution.ends.empty()) return;
    auto& row = std::get<row::Verdict>(rows.back());
    if (*verdict == Verdict::restored) row.detail = "The chain has the slack that it was to have.";
    if (*verdict == Verdict::not_restored) row.detail = "The chain does not have the slack it was to have.";
    if (*verdict == Verdict::cannot_tell)
        row.detail = "Too near the limit for what this reading can tell. Read it again where it is tightest.";
}

// What to read again where no setting is ordered: the most loaded height of this verdict, which must hold, else
// the slack. No reading helps where the one before the swap is too wide.
std::optional<Field> field_to_read_again(const SwapSolution& solution, const BikeBody& bike,
                                         Verdict verdict) {
    for (const EndSolution& e : solution.ends) {
        const auto heights = e.judged() ? e.judged()->heights : std::vector<HeightCheck>{};
        for (auto height = heights.rbegin(); height != heights.rend(); ++height) {
            const bool lost =
                verdict == Verdict::cannot_tell && lost_before(*height, bike.setup(e.end).tolerance);
            if (height->held && height->verdict == verdict && !lost)
                return field_of({Phase::check, e.end, height_point(height->state)});
        }
    }
    if (solution.slack && solution.slack->verdict == verdict)
        return field_of({Phase::check, End::rear, Point::chain_slack});
    return std::nullopt;
}

// The wheel off the ground tells the length only.
bool has_loaded_height(const std::vector<EndSolution>& ends) {
    return std::any_of(ends.begin(), ends.end(), [](const EndSolution& e) {
        const CheckResult* check = e.judged();
        return check && check->heights.back().state != State::topped_out;
    });
}

// What would bring it back must not be ridden.
bool no_setting_helps(const SwapSolution& solution) {
    if (solution.refits_chain && solution.slack && solution.slack->axle && !solution.slack->axle->in_slot)
        return true;
    return std::any_of(solution.ends.begin(), solution.ends.end(),
                       [](const EndSolution& e) { return e.ordered() && !e.ordered()->can_be_ridden(); });
}
}  // namespace

void check_panel(const AppState& state, const Bike& bike, const SolvedSwap& solved, PageView& page) {
    const auto& ends = solved.solution().ends;
    const auto verdict = solved.solution().verdict();
    const auto left = unread(solved.site(), Phase::check);
    if (state.pad || (!left.empty() && !has_loaded_height(ends))) {
        std::vector<Row> warned;
        coil_rows(state, solved.solution(), warned);
        page.panel.rows.insert(page.panel.rows.begin(), warned.begin(), warned.end());
        return;
    }
    // The verdict is what they came for: above the readings.
    std::vector<Row> readings;
    readings.swap(page.panel.rows);
    auto& rows = page.panel.rows;
    swap_verdict_row(solved.solution(), rows);
    if (verdict == Verdict::cannot_tell &&
        (is_height_left(left, End::rear) || is_height_left(left, End::front)))
        std::get<row::Verdict>(rows.back()).detail = "A height that tells it is not read again yet.";
    coil_rows(state, solved.solution(), rows);
    for (const ReadAt& spot : left)
        rows.push_back(
            row::Note{"Not measured again: " + label_in(solved.site().swap, spot.end, spot.point) + ".",
                      Ink::now, true});
    slack_sentence(state, solved, rows);
    axle_rows(state, solved, rows);
    // As long as one end cannot be judged, none is.
    if (verdict)
        for (const EndSolution& e : ends) {
            const CheckResult& check = *e.judged();
            if (ends.size() > 1)
                rows.push_back(
                    row::Heading{wording::heading(e.end) + ": " + wording::verdict(check.verdict)});
            state_row(state, e.load, rows);
            pattern_rows(state, check, rows);
            untold_rows(
                state, check, bike.body.setup(e.end).tolerance,
                [&](Point height) {
                    return solved.site().swap.stored({Phase::check, e.end, height});
                },
                rows);
            if (check.turns_help() && !is_height_left(left, e.end))
                correction_rows(state, solved.site(), e, page);
            load_row(state, bike.body, e, check, rows);
            height_rows(state, check, bike.body.setup(e.end).tolerance, rows);
        }
    slack_rows(state, solved, rows);
    if (verdict && *verdict != Verdict::restored) {
        const bool off = verdict == Verdict::not_restored;
        const auto again = field_to_read_again(solved.solution(), bike.body, *verdict);
        if (off && field_to_correct(state))
            page.primary = {"Set the correction", act::GoToStep{Step6::set}, ""};
        else if (off && no_setting_helps(solved.solution()))
            page.primary = {"Try another part", act::GoToStep{Step6::new_part}, ""};
        else if (again && left.empty())
            page.primary = {"Read again: " + label_in(solved.site().swap, again->end, again->point),
                            off ? Action(act::OpenTag{*again}) : Action(act::ReadAgain{*again}), ""};
        rows.push_back(row::Button{"keep-anyway", "Keep it as it stands", "the baseline says so",
                                   act::GoToStep{Step6::keep}});
    }
    rows.insert(rows.end(), readings.begin(), readings.end());
}

void keep_panel(const AppState& state, const Bike& bike, const SolvedSwap& solved, PageView& page) {
    const Swap& swap = solved.site().swap;
    auto& rows = page.panel.rows;
    const End end = ends_of(swap).front();
    const auto known = known_before(state, swap, end);
    const BikePicture pic = picture(picture_of(bike.body, end, Scene::whole, known));
    page.drawing = drawing_of(pic);
    page.drawing.caption = bike.body.name;
    for (const auto& [phase, point] : {std::pair{Phase::check, Point::ride_height_rider},
                                       {Phase::set, Point::eye_to_eye},
                                       {Phase::set, Point::fork_position},
                                       {Phase::set, Point::spring_installed_length}})
        if (const StoredReading* stored = swap.stored({phase, end, point}))
            if (const auto anchor = pic.anchors.find(point); anchor != pic.anchors.end())
                put_value(page.drawing.tags.emplace_back(tag_at("tag:kept:" + std::string(facts(point).key),
                                                                wording::label(point), anchor->second)),
                          stored->reading);
    const auto& ends = solved.solution().ends;
    const auto verdict = solved.solution().verdict();
    swap_verdict_row(solved.solution(), rows);
    coil_warning_rows(state, setup_now(state.ledger, bike.id), rows);
    for (const EndSolution& e : ends)
        if (!e.judged())
            rows.push_back(row::Verdict{"Not checked",
                                        "The heights were not measured again at the " + wording::end(e.end) +
                                            ": this baseline will have none there.",
                                        Ink::stop});
    if (verdict)
        for (const EndSolution& e : ends) {
            if (ends.size() > 1) rows.push_back(row::Heading{wording::heading(e.end)});
            height_rows(state, *e.judged(), bike.body.setup(e.end).tolerance, rows);
        }
    slack_sentence(state, solved, rows);
    slack_rows(state, solved, rows);
    rows.push_back(row::Heading{"Why"});
    rows.push_back(row::Button{"reason",
                               state.reason.empty() ? wording::usual_reason(swap.parts) : state.reason,
                               "tap to write it", act::OpenTag{{.of = Field::Of::reason}}});
    rows.push_back(row::Note{"Everything a swap does not touch is carried over from the last baseline.",
                             Ink::ink, false, true});
    if (state.pad)
        page.primary = {"Keep it", act::PadNext{}, ""};
    else if (!state.pending.empty())
        page.primary = no_way("Keep as baseline", "saving");
    else
        page.primary = {"Keep as baseline", act::Keep{}, ""};
}

}  // namespace restand
