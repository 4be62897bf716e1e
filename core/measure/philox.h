#pragma once
// Random numbers from a counter: the words depend on counter and key alone, so any draw can be made by
// itself, in any order and by any thread.
// Source: Philox4x32-10, Salmon, Moraes, Dror & Shaw, Parallel random numbers: as easy as 1, 2, 3 (SC11,
// 2011).

#include <array>
#include <cstdint>

namespace restand {

using PhiloxWords = std::array<std::uint32_t, 4>;
using PhiloxKey = std::array<std::uint32_t, 2>;

// No branch and no table: a plain loop over many counters can be vectorised.
inline PhiloxWords philox(PhiloxWords counter, PhiloxKey key) {
    for (int round = 0; round < 10; ++round) {
        const std::uint64_t a = std::uint64_t{0xD2511F53u} * counter[0],
                            b = std::uint64_t{0xCD9E8D57u} * counter[2];
        counter = {static_cast<std::uint32_t>(b >> 32) ^ counter[1] ^ key[0], static_cast<std::uint32_t>(b),
                   static_cast<std::uint32_t>(a >> 32) ^ counter[3] ^ key[1], static_cast<std::uint32_t>(a)};
        key[0] += 0x9E3779B9u;
        key[1] += 0xBB67AE85u;
    }
    return counter;
}

}  // namespace restand
