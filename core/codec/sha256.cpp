#include "core/codec/sha256.h"

#include <algorithm>

#include "core/codec/canonical.h"

#if defined(__x86_64__) && defined(__GNUC__)
#include <cpuid.h>
#include <immintrin.h>
#define RESTAND_SHA_INSTRUCTIONS 1
#endif

namespace restand {
namespace {

constexpr std::size_t block_size = 64;

#ifdef RESTAND_SHA_INSTRUCTIONS
// The first 32 bits of the fractional parts of the cube roots of the first 64 primes (FIPS 180-4, 4.2.2).
alignas(16) constexpr std::uint32_t round_constants[64] = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

bool asked_for_sha_instructions() {
    unsigned a = 0, b = 0, c = 0, d = 0;
    constexpr unsigned ssse3_and_sse41 = 1u << 9 | 1u << 19, sha = 1u << 29;
    if (!__get_cpuid(1, &a, &b, &c, &d) || (c & ssse3_and_sse41) != ssse3_and_sse41) return false;
    return __get_cpuid_count(7, 0, &a, &b, &c, &d) && (b & sha) != 0;
}

// Asked once: under a hypervisor the question takes longer than the hash of an entry.
bool has_sha_instructions() {
    static const bool has = asked_for_sha_instructions();
    return has;
}

// The instructions keep the eight words as (A,B,E,F) and (C,D,G,H), highest lane first, and do two rounds
// each.
__attribute__((target("sha,sse4.1,ssse3"))) void add_blocks(std::array<std::uint32_t, 8>& words,
                                                            const unsigned char* at, std::size_t count) {
    const __m128i big_endian = _mm_set_epi64x(0x0c0d0e0f08090a0b, 0x0405060700010203);
    const __m128i dcba = _mm_loadu_si128(reinterpret_cast<const __m128i*>(words.data()));
    const __m128i hgfe = _mm_loadu_si128(reinterpret_cast<const __m128i*>(words.data() + 4));
    const __m128i cdab = _mm_shuffle_epi32(dcba, 0xb1), efgh = _mm_shuffle_epi32(hgfe, 0x1b);
    __m128i abef = _mm_alignr_epi8(cdab, efgh, 8), cdgh = _mm_blend_epi16(efgh, cdab, 0xf0);
    for (; count > 0; --count, at += block_size) {
        const __m128i abef_before = abef, cdgh_before = cdgh;
        __m128i w[4];  // the last sixteen words of the schedule
        for (int i = 0; i < 4; ++i)
            w[i] = _mm_shuffle_epi8(_mm_loadu_si128(reinterpret_cast<const __m128i*>(at) + i), big_endian);
#pragma GCC unroll 16
        for (int four = 0; four < 16; ++four) {
            __m128i& now = w[four % 4];
            if (four >= 4) {
                const __m128i& before = w[(four + 3) % 4];
                const __m128i seven_back = _mm_alignr_epi8(before, w[(four + 2) % 4], 4);
                now = _mm_sha256msg1_epu32(now, w[(four + 1) % 4]);
                now = _mm_sha256msg2_epu32(_mm_add_epi32(now, seven_back), before);
            }
            const __m128i added =
                _mm_add_epi32(now, _mm_load_si128(reinterpret_cast<const __m128i*>(round_constants) + four));
            cdgh = _mm_sha256rnds2_epu32(cdgh, abef, added);
            abef = _mm_sha256rnds2_epu32(abef, cdgh, _mm_shuffle_epi32(added, 0x0e));
        }
        abef = _mm_add_epi32(abef, abef_before);
        cdgh = _mm_add_epi32(cdgh, cdgh_before);
    }
    const __m128i feba = _mm_shuffle_epi32(abef, 0x1b), dchg = _mm_shuffle_epi32(cdgh, 0xb1);
    _mm_storeu_si128(reinterpret_cast<__m128i*>(words.data()), _mm_blend_epi16(feba, dchg, 0xf0));
    _mm_storeu_si128(reinterpret_cast<__m128i*>(words.data() + 4), _mm_alignr_epi8(dchg, feba, 8));
}
#else
bool has_sha_instructions() {
    return false;
}
void add_blocks(std::array<std::uint32_t, 8>&, const unsigned char*, std::size_t) {}
#endif

const unsigned char* raw(std::string_view bytes) {
    return reinterpret_cast<const unsigned char*>(bytes.data());
}

}  // namespace

Sha256::Sha256(By by) : by_instructions_(by == By::fastest && has_sha_instructions()) {
    // The square roots of the first eight primes (FIPS 180-4, 5.3.3).
    words_ = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
    crypto_hash_sha256_init(&library_);
}

void Sha256::add(std::string_view bytes) {
    if (!by_instructions_) {
        crypto_hash_sha256_update(&library_, raw(bytes), bytes.size());
        return;
    }
    const std::size_t held = size_ % block_size;
    size_ += bytes.size();
    if (held > 0) {
        const auto piece = bytes.substr(0, block_size - held);
        std::copy(piece.begin(), piece.end(), rest_.begin() + held);
        bytes.remove_prefix(piece.size());
        if (held + piece.size() < block_size) return;
        add_blocks(words_, rest_.data(), 1);
    }
    add_blocks(words_, raw(bytes), bytes.size() / block_size);
    bytes.remove_prefix(bytes.size() / block_size * block_size);
    std::copy(bytes.begin(), bytes.end(), rest_.begin());
}

Hash Sha256::finish() {
    Hash hash;
    if (!by_instructions_) {
        crypto_hash_sha256_final(&library_, hash.data());
        return hash;
    }
    // One bit, zeros, and the count of bits in the last eight bytes of a block (FIPS 180-4, 5.1.1).
    std::array<char, 2 * block_size> end{};
    end[0] = '\x80';
    const std::uint64_t bits = size_ * 8;
    const std::size_t held = size_ % block_size;
    const std::size_t size = (held < block_size - 8 ? block_size : 2 * block_size) - held;
    for (std::size_t i = 0; i < 8; ++i) end[size - 1 - i] = static_cast<char>(bits >> (8 * i) & 0xff);
    add({end.data(), size});
    for (std::size_t i = 0; i < hash.size(); ++i)
        hash[i] = static_cast<std::uint8_t>(words_[i / 4] >> (24 - 8 * (i % 4)) & 0xff);
    return hash;
}

Hash sha256(std::string_view bytes) {
    Sha256 sum;
    sum.add(bytes);
    return sum.finish();
}

}  // namespace restand
