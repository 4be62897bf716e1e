#pragma once

#include <cstdint>

namespace restand {

std::int64_t wall_ms();   // Unix time in UTC, by this machine's clock

}  // namespace restand
