#pragma once
// The real program in a window of its own, typed into and killed (SIGKILL) at a random moment, again and again on
// one workshop file. What it acknowledged is read from what it drew: the reading's row as it looks once the reading
// is stored. A second copy of the app, without a window, opens the file as it was left, says what is stored, and
// draws what the row will look like.

#include <cstdint>
#include <string>
#include <vector>

namespace restand::test {

struct KilledApp {
    int kills = 100;
    std::uint32_t seed = 1;
    // What counts as acknowledged. `typed` is the control: Enter counts, whatever is drawn; it must be found out.
    enum class Acknowledged { drawn, typed } acknowledged = Acknowledged::drawn;
};

struct KilledTally {
    int kills = 0, typed = 0, acknowledged = 0, stored_unseen = 0, not_stored = 0;
    std::vector<std::string> violations;  // each in a sentence
    std::string text() const;
};

KilledTally kill_app(const KilledApp& plan);

}  // namespace restand::test
