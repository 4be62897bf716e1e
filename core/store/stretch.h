#pragma once
// A range of the time line, between clocks, split into stretches that SQLite finds in the index entry_time:
// SQLite searches by a row value only after an equal epoch. Inside core/store only.

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "core/store/schema.h"

namespace restand {

struct Between {
    std::optional<std::pair<Clock, Id>> after{}, before{};   // neither is included
    std::optional<Clock> until{};                            // included
};

struct Stretch {
    std::uint32_t first_epoch = 0, last_epoch = 0;
    Between between;                                  // within one epoch
    bool one_epoch() const { return first_epoch == last_epoch; }
    std::string where() const;                        // " AND …", with placeholders for bind()
    std::string newest_first() const;                 // for ORDER BY
    std::string oldest_first() const;
    void bind(Statement& statement, int at) const;
};
std::vector<Stretch> stretches(const Between& between);   // oldest first; none overlap

}  // namespace restand
