#pragma once
// SHA-256 (FIPS 180-4) of bytes that come in pieces, by Nettle: it uses the processor's instructions where
// there are any, and then needs a quarter of the time.

#include <nettle/sha2.h>

#include <string_view>

#include "core/ledger/entry.h"

namespace restand {

class Sha256 {
public:
    Sha256();
    void add(std::string_view bytes);
    Hash finish();   // once, after the last add()

private:
    sha256_ctx state_;
};

}  // namespace restand
