#pragma once
// Random histories of two to five devices: they write, hand each other what they have (all, a part, twice,
// broken off half way), their clocks are wrong by up to ten years, and now and then one goes on from an old
// copy of its file, bearing numbers it has borne before. What must hold at the end is checked on the real
// Store.

#include <cstdint>
#include <string>
#include <vector>

namespace restand::test {

// A merge that loses something; each must be found out.
enum class MergeMutant { none, drop_older_than_newest, first_fork_wins };

struct MergeTally {
    std::uint64_t histories = 0, entries = 0, exchanges = 0, broken_off = 0, restores = 0, forks = 0,
                  conflicts = 0;
    // Against what must hold; see history() in the .cpp.
    std::uint64_t lost = 0, differs = 0, not_algebra = 0, folds_differently = 0, not_whole = 0,
                  clock_back = 0;
    std::uint64_t failed = 0;   // a store that refused to work at all
    std::vector<std::string> examples;
    std::uint64_t violations() const {
        return lost + differs + not_algebra + folds_differently + not_whole + clock_back + failed;
    }
    std::string text() const;
};
MergeTally merge_histories(std::uint64_t count, unsigned seed, MergeMutant mutant = MergeMutant::none);

}  // namespace restand::test
