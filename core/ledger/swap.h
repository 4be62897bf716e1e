#pragma once
// A swap: six steps, four of which take readings. Which are asked for at which step, and which are needed?
// One table for both ends of the bike (swap.cpp); a new reading is a line there.

#include <map>
#include <span>
#include <vector>

#include "core/ledger/entry.h"
#include "core/measure/reading.h"
#include "core/measure/uncertainty.h"
#include "core/restore/restore.h"
#include "core/restore/verdict.h"

namespace restand {

enum class SwapKind { shock, shock_spring, fork, fork_springs };
End end_of(SwapKind kind);
std::string_view key(SwapKind kind);

enum class Step6 { before, new_part, answer, set, check, keep };  // the six steps, in order
inline constexpr int step_count = 6;
enum class Phase { before, new_part, set, check };                // the steps that take readings
std::string_view key(Step6 step);
std::string_view key(Phase phase);

struct Asked {
    Point point;
    bool required;      // the answer (or the verdict) cannot be had without it
};
// In the order a person walks: heights, chain, then the part on the bench.
std::span<const Asked> asked(SwapKind kind, Phase phase);

// A reading with its provenance.
struct Take {
    Reading reading;
    Id entry;                 // of the ledger
    Id by;
    std::int64_t at_ms = 0;
    Id swap;                  // in which it was taken; nil for a quick entry
    bool confirmed = false;   // the app asked 'same mark, same state?' and got a yes
    friend bool operator==(const Take&, const Take&) = default;
};

struct Swap {
    Id id, bike;
    SwapKind kind = SwapKind::shock;
    Step6 step = Step6::before;                              // where it was left
    std::int64_t started_ms = 0;
    Id by;
    std::map<std::pair<Phase, Point>, std::vector<Take>> takes;  // more than one: two devices disagree
    bool kept = false, abandoned = false;
    bool open() const { return !kept && !abandoned; }
    const Take* take(Phase phase, Point point) const;        // newest by clock; nullptr when not read
};
std::vector<Point> missing(const Swap& swap, Phase phase);   // required and not read

struct Bike;
struct CaseInput { SwapCase swap_case; std::vector<Input> inputs; };  // inputs: the readings it was made of
// The readings so far as a case. Error missing: subject = point key, detail = phase key.
Result<CaseInput> case_of(const Bike& bike, const Swap& swap);

// The answer with how sure it is; each Uncertain names the readings behind it (budget order).
struct SureAnswer {
    Answer answer;
    // Of the predicted setting
    std::optional<Uncertain> length, installed_length, rider, static_, topped_out;
};
Result<SureAnswer> answer_of(const Bike& bike, const Swap& swap);
// Prediction at what was really set; error missing until set readings are there.
Result<Prediction> prediction_as_set(const Bike& bike, const Swap& swap);
Result<CheckResult> check_of(const Bike& bike, const Swap& swap);
Result<Answer> correction_of(const Bike& bike, const Swap& swap);

}  // namespace restand
