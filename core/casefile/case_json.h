#pragma once
// A swap as one file without a workshop: the case file of `restand solve`. Every key is in case.md.
//
// Keys carry their unit; numbers are finite JSON numbers; unknown keys and keys given twice are refused.
// Errors: too_large (case_cap), damaged/truncated (no JSON; subject = line and column), newer_version,
// not_ours (no "restand_case"), and for a field, subject = its path ("new_unit.spring.rate_n_per_mm"):
// missing, not_a_number and wrong_type (detail: what stood there; what was expected), unknown_key,
// contradiction, out_of_range (detail: "-95; 0 < rate <= 2000", what stood there and the allowed range),
// not_sorted, not_monotone.

#include "core/ledger/answer_uncertainty.h"

namespace restand {

inline constexpr std::uint64_t case_cap = 1ull << 20;  // bytes
inline constexpr int case_version = 1;

struct CaseFile {
    SwapCase swap;
    std::optional<Length> fork_length;  // front: of the new fork; its position = fork_length − unit length
    std::string note;                   // free text, printed at the head of the page
    std::vector<Input> inputs;          // fields with a standard uncertainty, by path
    Remake remake;                      // the case with other values for `inputs`
};

Result<CaseFile> read_case(std::string_view text);

}  // namespace restand
