#pragma once
// A swap in a case of format 2, solved and printed. Every key is in case.md. A number that nobody read, and
// that no reading gives, is not printed: a height, the sag from it, a wheel rate of assumed springs.

#include <memory>

#include "core/casefile/ledger_swap.h"

namespace restand {

struct EndResult {
    const EndSolution* solution;
    CaseFile file;
    Result<UncertainAnswer> answer;            // error: no_solution
    std::optional<Prediction> as_set{};        // at what was set
    std::optional<Answer> correction{};        // from there; only where turns help
};
struct SwapResult {
    const LedgerSwap& of;
    SwapSolution solution;
    std::vector<EndResult> ends{};
    // Every answer is held, and the axle stays in its slot.
    bool held() const;
};
// `of` must outlive the result. Errors: what is missing or impossible, by its place in the file.
Result<std::unique_ptr<SwapResult>> solved(const LedgerSwap& of);
std::string swap_json(const SwapResult& result);
std::string swap_page(const SwapResult& result);
// Why an end has no verdict although it was read again.
std::string no_verdict(const SwapResult& result, const EndResult& end);
std::string_view verdict_key(Verdict verdict);   // "restored", "not_restored", "cannot_tell"

}  // namespace restand
