#pragma once
// How far long work is, and whether it is still wanted. The worker counts, any thread looks and may cancel.
// Work that is cancelled leaves everything as it was and answers with ErrorCode::cancelled.

#include <atomic>
#include <cstdint>

namespace restand {

struct Progress {
    std::atomic<std::uint64_t> done{0}, total{0};   // total 0: not known yet
    std::atomic<bool> cancelled{false};
};

}  // namespace restand
