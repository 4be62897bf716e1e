#pragma once
// One swap in one file, without a workshop: the case file of `restand solve`. case.md lists every key.
//
// Keys state their unit; numbers are finite JSON numbers; unknown keys and duplicate keys are refused.
// Errors: too_large (case_cap), damaged/truncated (not JSON; subject = line and column), newer_version,
// not_ours (no "restand_case"), and for a field, subject = its path ("new_unit.spring.rate_n_per_mm"):
// missing, not_a_number and wrong_type (detail: the value found; what was expected), unknown_key,
// contradiction, out_of_range (detail: "-95; 0 < rate <= 2000", the value found and the allowed range),
// not_sorted, not_monotone.

#include "core/ledger/answer_uncertainty.h"
#include "core/ledger/swap_inputs.h"

namespace restand {

inline constexpr std::uint64_t case_cap = 1ull << 20;  // bytes
inline constexpr int case_version = 2;  // 1: as in case.md; 2: of a bike in the ledger (ledger_case.h)

// What is taken for a field that moves the answer and that the case leaves out.
struct CaseDefault {
    std::string what;     // path of the field; its suffix is the unit
    double value;
    double half = 0;      // format 2: half width of the range it is taken from; format 1 takes it as exact
    std::string beside{};  // format 2: the field it is known beside
};

struct CaseFile {
    SwapCase swap;
    std::optional<Length> fork_length;  // front: of the new fork; its position = fork_length − unit length
    std::string note;                   // free text, printed at the head of the page
    std::vector<Input> inputs;          // fields that have a standard uncertainty, by path
    Remake remake;                      // builds the case with other values for `inputs`
    std::vector<CaseDefault> assumed;   // in the order of the case
    std::vector<Origin> origins{};      // of the inputs; format 2
    // Format 2. False: only differences of the unit's length count, or of the new spring's; its number means
    // nothing.
    bool length_known = true, free_length_known = true;
};

// Front: what to set at the yokes. Preload does not move it.
inline Length fork_position(const CaseFile& file, const Setting& s) {
    return *file.fork_length + s.lengthened - s.length;
}
Result<CaseFile> read_case(std::string_view text);

}  // namespace restand
