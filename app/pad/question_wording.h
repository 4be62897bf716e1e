#pragma once
// What is asked about a number, and why one is refused.

#include <string>

#include "core/ledger/contradiction.h"

namespace restand::wording {

std::string out_of_range(double low, double high, Unit unit);
std::string far_from_last(double away, Unit unit);
std::string far_from_answer(double away, Unit unit);
std::string far_from_expected(double away, Unit unit);
std::string unusual(double low, double high, Unit unit);
std::string little_sag(double sag, Unit unit);      // as on a stand under the swingarm
// Two readings of one part that cannot both be right (core/ledger/contradiction.h).
std::string out_of_order(const OutOfOrder& order, Unit unit);
std::string two_preloads(const TwoPreloads& two, Unit unit);
std::string count_again(int links, int fits);
std::string odd_links();
std::string other_rate(double old, Unit unit);

}  // namespace restand::wording
