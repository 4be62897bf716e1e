#include <sodium.h>

#include <algorithm>
#include <chrono>

#include "core/store/impl.h"

namespace restand {
namespace {

void random_bytes(void* to, std::size_t size) {
    check(sodium_init() >= 0, "the system has no source of randomness");
    randombytes_buf(to, size);
}

}  // namespace

std::int64_t wall_ms() {
    using namespace std::chrono;
    return duration_cast<milliseconds>(system_clock::now().time_since_epoch()).count();
}

std::uint64_t new_device() {
    std::uint64_t device = 0;
    while (device == 0) random_bytes(&device, sizeof device);
    return device;
}

Id first_id(std::int64_t at_ms) {
    Id id;
    const auto ms = static_cast<std::uint64_t>(std::clamp<std::int64_t>(at_ms, 0, (1ll << 48) - 1));
    for (std::size_t i = 0; i < 6; ++i) id.bytes[i] = static_cast<std::uint8_t>(ms >> (40 - 8 * i));
    return id;
}

// RFC 9562, 5.7, with 6.2 method 1: within an epoch of its clock, one device's ids sort as the clock does
// (to 4096 in a millisecond).
Id new_id(Clock clock) {
    Id id = first_id(clock.ms);
    random_bytes(id.bytes.data() + 8, id.bytes.size() - 8);
    id.bytes[6] = static_cast<std::uint8_t>(0x70 | (clock.counter >> 8 & 0x0f));
    id.bytes[7] = static_cast<std::uint8_t>(clock.counter & 0xff);
    id.bytes[8] = static_cast<std::uint8_t>(0x80 | (id.bytes[8] & 0x3f));
    return id;
}

}  // namespace restand
