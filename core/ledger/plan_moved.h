#pragma once
// What the steps of a restore plan moved, and what was measured or set since: first by the steps done so far,
// then by the new list. Inside core/ledger only.

#include <set>
#include <string>

#include "core/ledger/body.h"

namespace restand {

struct Moved {
    Stand slack_stand = Stand::hanging;
    std::set<End> heights{};
    bool chain = false, refit = false;
    std::set<std::string> since{};       // keys of actions done after the last move (measured, axle, slack)
    void note(const std::string& key, End end, Point point);
    bool measured(End end, Point point) const;   // since
};

}  // namespace restand
