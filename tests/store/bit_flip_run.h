#pragma once
// Single bits turned over in a file at rest: none may change what is read without being named.

#include <cstdint>
#include <string>
#include <vector>

namespace restand::test {

enum class Rested { live_file, backup, bundle, sync_bundle };

struct FlipTally {
    std::uint64_t flips = 0;
    std::uint64_t refused = 0;      // not opened, or not read to its end
    std::uint64_t named = 0;        // opened and read, and the check names damage
    std::uint64_t same = 0;         // read as it was: free space, a journal's leavings
    std::uint64_t accepted = 0;     // read otherwise than it was, and nobody says so
    std::uint64_t clock = 0;        // the entries are as they were, but the device's own clock is not
    std::vector<std::string> examples;
    std::string text() const;
};
// `blind`: without looking at hashes and the check, as a control: then changes must be accepted.
FlipTally flip_bits(Rested what, std::uint64_t count, unsigned seed, bool blind = false);

}  // namespace restand::test
