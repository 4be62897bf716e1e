#include "app/views/check_rows.h"

#include <fmt/format.h>

#include "app/views/point_wording.h"
#include "app/views/season_wording.h"
#include "app/views/wording.h"

namespace restand {
namespace {

std::string verdict_word(Verdict v) {
    std::string word = wording::verdict(v);
    word[0] = static_cast<char>(word[0] - 'a' + 'A');
    return word;
}

Ink ink_of(Verdict v) {
    return v == Verdict::restored ? Ink::ink : v == Verdict::cannot_tell ? Ink::now : Ink::stop;
}

std::string len(const AppState& state, Length v) {
    return wording::value(v, state.ledger.units());
}

// One loaded height is back and the other is not: no collar does that.
void alone_row(const CheckResult& check, std::vector<Row>& rows) {
    rows.push_back(
        row::Note{*check.alone == State::rider
                      ? "Static is back, the rider's height is not: no setting does that. Seat the "
                        "rider again, both feet on the pegs, same kit, and read it again."
                      : "The rider's height is back, static is not: no setting does that. Settle the "
                        "bike again, same fuel, and read static again.",
                  Ink::now, true});
}

}  // namespace

void verdict_row(Verdict verdict, std::vector<Row>& rows) {
    std::string detail;
    if (verdict == Verdict::restored)
        detail = "Every height that was to be held is back, as far as these readings can tell.";
    if (verdict == Verdict::not_restored)
        detail = "A height is off by more than tolerance and readings allow.";
    if (verdict == Verdict::cannot_tell)
        detail =
            "Too near your tolerance for what these readings can tell. Read the heights again, settled anew "
            "each time.";
    rows.push_back(row::Verdict{verdict_word(verdict), detail, ink_of(verdict)});
}

void height_rows(const AppState& state, const CheckResult& result, Length tolerance, std::vector<Row>& rows) {
    const Unit unit = state.ledger.units().length;
    rows.push_back(row::TableHead{"to be", "is"});
    for (const HeightCheck& h : result.heights)
        rows.push_back(row::TableLine{"ride height, " + wording::state(h.state), len(state, h.before),
                                      len(state, h.after), h.held});
    for (const HeightCheck& h : result.heights)
        rows.push_back(row::Note{
            fmt::format(
                "{}: {} ± {} {}, {}", wording::state(h.state),
                wording::signed_value((h.after - h.before).value, unit), len(state, h.expanded), symbol(unit),
                h.held ? fmt::format("within {} at {}", len(state, tolerance), wording::probability(h.inside))
                       : fmt::format("predicted {}", len(state, h.predicted))),
            Ink::ink, false, true});
}

void coil_rows(const AppState& state, const SwapSolution& solution, std::vector<Row>& rows) {
    for (const EndSolution& e : solution.ends) {
        if (!e.as_set || !e.as_set->coils_touch()) continue;
        rows.push_back(row::Note{wording::coils_touch(e.end, *e.as_set->block_margin, state.ledger.units()),
                                 Ink::stop, true});
    }
}

namespace {
void scatter_row(const AppState& state, const StoredReading* stored, std::vector<Row>& rows) {
    constexpr double much = 1.5;  // times the usual spread; judgement, no source
    if (!stored || stored->reading.repeats.size() != 1 || !stored->reading.spread) return;
    const Reading& reading = stored->reading;
    if (reading.spread->settled <= much * usual_spread(reading.point).settled) return;
    const Person* reader = state.ledger.person(stored->by);
    rows.push_back(row::Note{
        fmt::format("{}: one reading counts ± {}, because {} repeats of it scattered so. Read it "
                    "three times, {} each time.",
                    wording::label(reading.point),
                    wording::value(expanded_95(measured(reading)), state.ledger.units().length),
                    reader ? reader->name + "'s" : "its reader's", wording::settled_anew(reading.point)),
        Ink::now});
}

void lost_rows(const AppState& state, const CheckResult& result, Length tolerance, std::vector<Row>& rows) {
    for (const HeightCheck& h : result.heights)
        if (h.held && h.verdict == Verdict::cannot_tell && lost_before(h, tolerance))
            rows.push_back(row::Note{
                fmt::format(
                    "{}: before, it was read to ± {} only, too wide for ± {}; reading it again now does "
                    "not help. Another time: three times, {} each time.",
                    wording::state(h.state), len(state, h.expanded_before), len(state, tolerance),
                    wording::settled_anew(height_point(h.state))),
                Ink::now, true});
}
}  // namespace

void untold_rows(const AppState& state, const CheckResult& result, Length tolerance,
                 const std::function<const StoredReading*(Point)>& read, std::vector<Row>& rows) {
    lost_rows(state, result, tolerance, rows);
    if (result.verdict != Verdict::cannot_tell) return;
    for (const Point height : ride_heights) scatter_row(state, read(height), rows);
}

void pattern_rows(const AppState& state, const CheckResult& check, std::vector<Row>& rows) {
    if (check.alone) alone_row(check, rows);
    if (!check.all_off) return;
    rows.push_back(
        row::Note{fmt::format("Every height is {} {}, topped out too, and only the length moves that one. "
                              "Another mark, or another length than was typed: read both again. No turns "
                              "until then.",
                              wording::length(abs(*check.all_off), state.ledger.units()),
                              check.all_off->value > 0 ? "higher" : "lower"),
                  Ink::now, true});
}

}  // namespace restand
