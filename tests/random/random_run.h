#pragma once
// A person who taps anything: on the real app over a workshop file, without a window, every event chosen at random
// among what the last frame shows. Now and then the app is left as it is and started again.

#include <cstdint>
#include <string>

namespace restand::test {

struct RandomRun {
    int events = 100'000;
    std::uint32_t seed = 1;
};

// Played in a process of its own, so that one that ends can be told about.
struct RandomTally {
    int events = 0, starts = 0, pages = 0;  // pages: kinds of page that were shown
    std::string ended;                      // empty: it went through; else how it ended, and the last events
    std::string text() const;
};

RandomTally tap_at_random(const RandomRun& plan);

}  // namespace restand::test
