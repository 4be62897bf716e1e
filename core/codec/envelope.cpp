#include <algorithm>

#include "core/codec/bundle.h"
#include "core/codec/sha256.h"

namespace restand {
namespace {

constexpr std::string_view magic = "RSTD";
constexpr std::size_t version_at = 8, length_at = 12, hash_at = 20, payload_at = 52;

void append_number(std::string& bytes, std::uint64_t v, int count) {
    for (int i = 0; i < count; ++i) bytes += static_cast<char>(v >> (8 * i) & 0xff);
}
std::uint64_t little_endian_at(std::string_view bytes, std::size_t at, int count) {
    std::uint64_t v = 0;
    for (int i = count; i-- > 0;)
        v = v << 8 | static_cast<unsigned char>(bytes[at + static_cast<std::size_t>(i)]);
    return v;
}

// The header before the hash is hashed too, so a flipped bit in the version is detected.
Hash hash_of_parts(std::string_view head, std::string_view payload) {
    Sha256 sum;
    sum.add(head);
    sum.add(payload);
    return sum.finish();
}

}  // namespace

std::string seal(std::string_view kind4, std::uint32_t version, std::string_view payload) {
    check(kind4.size() == 4, "an envelope's kind has four bytes");
    std::string bytes(magic);
    bytes += kind4;
    append_number(bytes, version, 4);
    append_number(bytes, payload.size(), 8);
    const Hash hash = hash_of_parts(bytes, payload);
    bytes.append(hash.begin(), hash.end());
    bytes += payload;
    return bytes;
}

Result<Opened> open_envelope(std::string_view kind4, std::uint32_t newest, std::uint64_t cap,
                             std::string_view bytes) {
    // The first eight bytes, as far as they exist, must match before anything is reported as damaged.
    const std::string start = std::string(magic).append(kind4);
    const std::size_t seen = std::min(bytes.size(), start.size());
    if (bytes.empty() || bytes.substr(0, seen) != std::string_view(start).substr(0, seen))
        return Error{ErrorCode::not_ours, "file", std::string(kind4)};
    if (bytes.size() < payload_at)
        return Error{ErrorCode::truncated, "file", std::to_string(bytes.size()) + " bytes"};

    const std::uint64_t version = little_endian_at(bytes, version_at, 4),
                        length = little_endian_at(bytes, length_at, 8);
    if (length > cap) return Error{ErrorCode::too_large, "file", std::to_string(cap) + " bytes"};
    const std::string_view payload = bytes.substr(payload_at);
    if (payload.size() < length)
        return Error{ErrorCode::truncated, "file",
                     std::to_string(bytes.size()) + " of " + std::to_string(payload_at + length) + " bytes"};
    if (payload.size() > length) return Error{ErrorCode::damaged, "file", "bytes behind the end"};
    const Hash hash = hash_of_parts(bytes.substr(0, hash_at), payload);
    if (!std::equal(hash.begin(), hash.end(), reinterpret_cast<const std::uint8_t*>(bytes.data()) + hash_at))
        return Error{ErrorCode::damaged, "file", "its hash differs from its content"};
    // Check the version only now: the version of an incomplete or damaged file cannot be trusted.
    if (version > newest) return Error{ErrorCode::newer_version, "file", std::to_string(version)};
    if (version == 0) return Error{ErrorCode::damaged, "file", "version 0"};
    return Opened{static_cast<std::uint32_t>(version), payload};
}

}  // namespace restand
