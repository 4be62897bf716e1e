#pragma once
// A user who taps at random: the real app over a workshop file, without a window. Every event is chosen at
// random among what the last frame shows. Sometimes the app is closed unfinished and started again.

#include <cstdint>
#include <string>

namespace restand::test {

struct RandomRun {
    int events = 100'000;
    std::uint32_t seed = 1;
};

// Runs in a process of its own, so that a crash can be reported.
struct RandomTally {
    int events = 0, starts = 0, pages = 0;  // pages: kinds of page shown
    std::string ended;                      // empty: completed; else how it ended, and the last events
    std::string text() const;
};

RandomTally tap_at_random(const RandomRun& plan);

}  // namespace restand::test
