#include "core/codec/sha256.h"

#include "core/codec/canonical.h"

namespace restand {

Sha256::Sha256() {
    sha256_init(&state_);
}

void Sha256::add(std::string_view bytes) {
    sha256_update(&state_, bytes.size(), reinterpret_cast<const std::uint8_t*>(bytes.data()));
}

Hash Sha256::finish() {
    Hash hash;
    sha256_digest(&state_, hash.size(), hash.data());
    return hash;
}

Hash sha256(std::string_view bytes) {
    Sha256 sum;
    sum.add(bytes);
    return sum.finish();
}

}  // namespace restand
