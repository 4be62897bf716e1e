#pragma once
// A season on a disk that goes wrong: one call (or every call from some one on) fails, is cut short or is
// silently lost. Afterwards the file is opened on a good disk and held against what the store had said of
// every act.

#include "tests/store/disk_shim.h"
#include "tests/store/power_cut_season.h"

namespace restand::test {

struct FaultTally {
    std::uint64_t plays = 0, struck = 0;
    std::uint64_t refused = 0, cannot_tell = 0;     // acts, as the store said
    std::uint64_t stored_in_spite = 0;              // acts stored though a call of theirs had failed
    // A disk that silently loses the very write that ends a commit takes that one act, and no file can show
    // it.
    std::uint64_t swallowed = 0;
    std::uint64_t named = 0;                        // plays whose damage the check names (lost calls only)
    std::uint64_t unreadable = 0, corrupt = 0, missing = 0, torn = 0, untrue = 0, strange = 0;
    std::vector<std::string> examples;
    // untrue: said to be not stored, and there.
    std::uint64_t violations() const { return unreadable + corrupt + missing + torn + untrue + strange; }
    std::string text() const;
    void add(const FaultTally& more);
};

// What a good disk holds after a season, against what was said. `damage_may_be_named`: the disk lied, so that
// the file may be damaged; but then opening it or the check must say so. `lied_to`: the act during which it
// lied, -1: none.
void judge(const std::string& folder, const Season& season, bool damage_may_be_named,
           const std::string& where, FaultTally& tally, int lied_to = -1);

// Plays the script once for each call n = first, first + stride, … of it, which fails as `how` says.
FaultTally fail_everywhere(const Script& script, Fault::How how, bool for_good, std::uint64_t first = 1,
                           std::uint64_t stride = 1);

// A stick that is pulled out (every call fails from some one on), or goes wrong once, while a device puts its
// entries on it; then it is good again, and another device takes from it.
struct StickTally {
    std::uint64_t plays = 0, struck = 0;
    std::uint64_t half = 0;         // plays that left less than everything
    std::uint64_t passed_over = 0;  // files that were named and not read
    std::uint64_t untrue = 0;       // put said it was done, and it was not
    std::uint64_t wrong = 0;        // something taken that was never put
    std::uint64_t stuck = 0;        // put again on a good stick, something is still not there
    std::uint64_t violations() const { return untrue + wrong + stuck; }
    std::string text() const;
};
StickTally pull_the_stick(Fault::How how, bool for_good);
// The same by power cuts: the stick as it could look at every call of the put.
// `empty`: nothing was put on it before.
StickTally cut_the_stick(unsigned cuts_per_call, unsigned seed, bool empty);

}  // namespace restand::test
