#include "core/codec/canonical.h"

#include <sodium.h>

#include <array>
#include <bit>

#include "core/codec/body_json.h"

namespace restand {
namespace {

class Bytes {
public:
    void number(std::uint64_t v, int count = 8) {
        std::array<char, 8> bytes{};
        for (std::size_t i = 0; i < bytes.size(); ++i) bytes[i] = static_cast<char>(v >> (8 * i) & 0xff);
        out.append(bytes.data(), static_cast<std::size_t>(count));
    }
    void string(std::string_view v) { number(v.size()), out += v; }
    template <std::size_t N>
    void raw(const std::array<std::uint8_t, N>& v) {
        out.append(reinterpret_cast<const char*>(v.data()), v.size());
    }
    // Without the values inside it, which follow.
    void head(const JsonValue& v);

    std::string out;
};

void Bytes::head(const JsonValue& v) {
    if (v.key.data()) string(v.key);
    switch (v.type) {
        case JsonValue::Type::null:
            out += 'n';
            break;
        case JsonValue::Type::boolean:
            out += v.truth ? 't' : 'f';
            break;
        case JsonValue::Type::number:
            out += 'd', number(std::bit_cast<std::uint64_t>(v.number));
            break;
        case JsonValue::Type::text:
            out += 's', string(v.text);
            break;
        case JsonValue::Type::list:
            out += '[', number(v.count);
            break;
        case JsonValue::Type::object:
            out += '{', number(v.count);
            break;
    }
}

}  // namespace

std::string canonical_bytes(const Entry& entry, const JsonValues& body) {
    Bytes bytes;
    bytes.out.reserve(256 + 2 * entry.body.size());
    bytes.out += "RSTDe1";
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
    for (const JsonValue& v : body.in_order()) bytes.head(v);
    return std::move(bytes.out);
}

std::string to_text(const Hash& hash) {
    std::string text(hash.size() * 2 + 1, '\0');
    sodium_bin2hex(text.data(), text.size(), hash.data(), hash.size());
    text.pop_back();
    return text;
}

Result<Hash> hash_of(const Entry& entry) {
    const auto body = JsonValues::read(entry.body);
    if (!body) return body.error();
    if (!body->root().is(JsonValue::Type::object)) return Error{ErrorCode::damaged, "json", "not an object"};
    return sha256(canonical_bytes(entry, *body));
}

}  // namespace restand
