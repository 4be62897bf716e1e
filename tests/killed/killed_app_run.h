#pragma once
// Types into the real program in a window and kills it (SIGKILL) at a random moment, repeatedly, on one
// workshop file. What it acknowledged is read from the screen: the reading's row as it looks once the reading
// is stored. A second copy of the app, without a window, opens the file as it was left, says what is stored,
// and draws the expected row.

#include <cstdint>
#include <string>
#include <vector>

namespace restand::test {

struct KilledApp {
    int kills = 100;
    std::uint32_t seed = 1;
    // What counts as acknowledged. `typed` is the control: Enter alone counts, whatever is drawn. The test
    // must detect violations then.
    enum class Acknowledged { drawn, typed } acknowledged = Acknowledged::drawn;
};

struct KilledTally {
    int kills = 0, typed = 0, acknowledged = 0, stored_unseen = 0, not_stored = 0;
    std::vector<std::string> violations;  // one sentence each
    std::string text() const;
};

KilledTally kill_app(const KilledApp& plan);

}  // namespace restand::test
