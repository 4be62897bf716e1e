#pragma once
// The bike is measured again after the swap. Is it restored, is it not, or can the readings not tell?
//
//   d = after − before,  U = √(U_after² + U_before²) at 95 %,  u = U/1.96,  T: the tolerance the user set
//   p = Φ((T − d)/u) − Φ((−T − d)/u)       probability that the true difference is inside ±T
//   restored:      p >= 95 % for every held height
//   not restored:  p <= 5 % for a held height
//   cannot tell:   otherwise
// Source: JCGM 106:2012, 7.4 (conformance probability, normal distribution) and 8.3 (guard bands). E_n = d/U
// is reported beside it (ISO 13528:2022, 9.7).
// For two readings with the same instrument, U leaves out the error they share (reading.h, without_common).
// Held heights: those the answer promised to hold, not those that a wrong setting happens to predict. The
// must-hold height (rider, else static) always counts as held.

#include <array>
#include <optional>
#include <vector>

#include "core/measure/reading.h"
#include "core/restore/restore.h"

namespace restand {

enum class Verdict { restored, not_restored, cannot_tell };
// Of two ends: not restored before cannot tell before restored.
Verdict worse_of(Verdict a, Verdict b);

struct HeightCheck {
    State state;
    Length before, after, predicted;
    Length expanded;          // √(U_after² + U_before²)
    Length expanded_before;   // U_before: no reading at the check makes `expanded` smaller
    double e_n;
    double inside;            // p, 0 to 1
    bool held;                // the answer promised to hold it
    Verdict verdict;          // of this height alone
};
struct CheckResult {
    std::vector<HeightCheck> heights;
    Verdict verdict;          // of all held heights; cannot_tell when none was read
    // The loaded height, static or rider, that is not where it was predicted while the other one is. No
    // length and no preload moves one without the other, so no turns help: the load was another one.
    std::optional<State> alone{};
    // Every height, topped out too, is off by this much. Only the length moves the topped-out one, so either
    // the mark is another one, or the length is not what was typed as set: read both again before any turns.
    std::optional<Length> all_off{};
    // Turns can bring back what is not restored.
    bool turns_help() const { return verdict == Verdict::not_restored && !alone && !all_off; }
};
// Of one difference: is the true one within ±tolerance? `expanded`: its U at 95 %.
Verdict verdict_on(Length difference, Length expanded, Length tolerance);
// True if no reading at the check could tell this height: what is not known of it before is too much.
bool lost_before(const HeightCheck& height, Length tolerance);
// By how much the load on this wheel would have to be larger than before to make the difference of a height,
// as far as what was set does not explain it; negative: smaller. nullopt: the wheel rate is not known, or
// there is nothing to explain.
std::optional<Mass> load_for(const HeightCheck& height, const Prediction& predicted);
struct CheckInput {
    std::array<std::optional<Measured>, 3> before, after;  // by State
    Prediction predicted;                                  // at what was set
    Length tolerance;
    std::optional<Prediction> promised{};                  // at the answer; nullopt: use `predicted`
    std::array<bool, 3> same_instrument{};                 // for before and after, by State
};
CheckResult judge(const CheckInput& input);

}  // namespace restand
