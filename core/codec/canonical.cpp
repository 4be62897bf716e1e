#include "core/codec/canonical.h"

#include <sodium.h>

#include <bit>

#include "core/codec/body_json.h"
#include "core/codec/json_text.h"

namespace restand {
namespace {

class Bytes {
public:
    void number(std::uint64_t v, int count = 8) {
        for (int i = 0; i < count; ++i) out += static_cast<char>(v >> (8 * i) & 0xff);
    }
    void string(std::string_view v) { number(v.size()), out += v; }
    template <std::size_t N>
    void raw(const std::array<std::uint8_t, N>& v) {
        out.append(v.begin(), v.end());
    }
    // parse_json() limits the depth, so the recursion is bounded.
    void tree(const nlohmann::json& v);

    std::string out;
};

void Bytes::tree(const nlohmann::json& v) {
    if (v.is_null()) out += 'n';
    if (v.is_boolean()) out += v.get<bool>() ? 't' : 'f';
    if (v.is_number()) out += 'd', number(std::bit_cast<std::uint64_t>(v.get<double>()));
    if (v.is_string()) out += 's', string(v.get_ref<const std::string&>());
    if (v.is_array()) {
        out += '[', number(v.size());
        for (const auto& one : v) tree(one);
    }
    if (v.is_object()) {
        out += '{', number(v.size());
        for (const auto& [key, one] : v.items())
            string(key), tree(one);  // the library keeps keys sorted by bytes
    }
}

}  // namespace

std::string canonical_bytes(const Entry& entry, const nlohmann::json& body) {
    Bytes bytes;
    bytes.out.reserve(256 + entry.body.size());
    bytes.out = "RSTDe1";
    bytes.raw(entry.id.bytes);
    bytes.number(entry.device);
    bytes.number(entry.number);
    bytes.number(static_cast<std::uint64_t>(entry.clock.ms));
    bytes.number(entry.clock.counter, 4);
    bytes.raw(entry.previous);
    bytes.string(entry.kind);
    bytes.raw(entry.bike.bytes);
    bytes.raw(entry.about.bytes);
    bytes.raw(entry.by.bytes);
    bytes.number(entry.supersedes.size());
    for (const Id& id : entry.supersedes) bytes.raw(id.bytes);
    bytes.tree(body);
    return std::move(bytes.out);
}

Hash sha256(std::string_view bytes) {
    Hash hash;
    crypto_hash_sha256(hash.data(), reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
    return hash;
}

std::string to_text(const Hash& hash) {
    std::string text(hash.size() * 2 + 1, '\0');
    sodium_bin2hex(text.data(), text.size(), hash.data(), hash.size());
    text.pop_back();
    return text;
}

Result<Hash> hash_of(const Entry& entry) {
    const auto body = parse_json(entry.body);
    if (!body) return body.error();
    if (!body->is_object()) return Error{ErrorCode::damaged, "json", "not an object"};
    return sha256(canonical_bytes(entry, *body));
}

}  // namespace restand
