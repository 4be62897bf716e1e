#pragma once
// A file of entries sent from one device to another, and the envelope of every binary file of Restand.
//
//   envelope: magic "RSTD" · kind (4 bytes) · version u32 · payload length u64 · SHA-256 · payload
//   the hash covers the 20 bytes before it and the payload; integers are little-endian;
//   the payload is a cereal archive, read through a bounded archive
//
// Nothing is decoded until length and hash are verified. Errors: not_ours, newer_version, truncated,
// too_large, damaged.

#include <string>
#include <string_view>
#include <vector>

#include "core/ledger/entry.h"

namespace restand {

inline constexpr std::string_view bundle_kind = "BNDL";
inline constexpr std::uint64_t bundle_cap = 256ull << 20;  // bytes
inline constexpr std::size_t body_cap = 1u << 20;           // bytes; no device writes a larger entry

std::string seal(std::string_view kind4, std::uint32_t version, std::string_view payload);
struct Opened { std::uint32_t version; std::string_view payload; };
Result<Opened> open_envelope(std::string_view kind4, std::uint32_t newest, std::uint64_t cap,
                             std::string_view bytes);

// Version 1: entries only, as the first release wrote it. core/sync/sync_bundle.h writes version 2 and reads
// both.
std::string write_bundle(const std::vector<Entry>& entries);
Result<std::vector<Entry>> read_bundle(std::string_view bytes);   // every hash verified

}  // namespace restand
