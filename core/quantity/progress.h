#pragma once
// Progress of a long task, and its cancellation. The worker counts. Any thread may read the count or cancel.
// A cancelled task returns ErrorCode::cancelled. What it had stored by then stays, if it stores in parts: its
// own header says so (e.g. core/store/merging.h).

#include <atomic>
#include <cstdint>

namespace restand {

struct Progress {
    std::atomic<std::uint64_t> done{0}, total{0};   // total 0: not known yet
    std::atomic<bool> cancelled{false};
};

}  // namespace restand
