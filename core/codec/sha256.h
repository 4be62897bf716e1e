#pragma once
// SHA-256 (FIPS 180-4) of bytes that come in pieces. Processors with instructions for it need about a fifth
// of the time; elsewhere libsodium computes it.

#include <sodium.h>

#include <array>
#include <string_view>

#include "core/ledger/entry.h"

namespace restand {

class Sha256 {
public:
    enum class By { fastest, library };      // library: libsodium on every processor, to compare with
    explicit Sha256(By by = By::fastest);
    void add(std::string_view bytes);
    Hash finish();                           // once, after the last add()

private:

    bool by_instructions_;
    std::array<std::uint32_t, 8> words_;     // with instructions: the state so far,
    std::uint64_t size_ = 0;                 // how many bytes came,
    std::array<unsigned char, 64> rest_{};   // and those of a block that is not full yet
    crypto_hash_sha256_state library_{};
};

}  // namespace restand
