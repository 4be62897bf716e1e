#include "core/codec/canonical.h"

#include <sodium.h>

#include <algorithm>
#include <array>
#include <bit>

#include "core/codec/body_json.h"

namespace restand {
namespace {

// Writes behind each other into a string that was made long enough.
class Bytes {
public:
    explicit Bytes(std::size_t most) : out_(most, '\0'), at_(out_.data()) {}
    void byte(char c) { *at_++ = c; }
    void number(std::uint64_t v, int count = 8) {
        for (int i = 0; i < count; ++i) at_[i] = static_cast<char>(v >> (8 * i) & 0xff);
        at_ += count;
    }
    void text(std::string_view v) { at_ = std::copy(v.begin(), v.end(), at_); }
    void string(std::string_view v) { number(v.size()), text(v); }
    template <std::size_t N>
    void raw(const std::array<std::uint8_t, N>& v) {
        text({reinterpret_cast<const char*>(v.data()), v.size()});
    }
    // Without the values inside it, which follow.
    void head(const JsonValue& v);

    std::string done() {
        out_.resize(static_cast<std::size_t>(at_ - out_.data()));
        return std::move(out_);
    }

private:
    std::string out_;
    char* at_;
};

void Bytes::head(const JsonValue& v) {
    if (v.key.data()) string(v.key);
    switch (v.type) {
        case JsonValue::Type::null:
            byte('n');
            break;
        case JsonValue::Type::boolean:
            byte(v.truth ? 't' : 'f');
            break;
        case JsonValue::Type::number:
            byte('d'), number(std::bit_cast<std::uint64_t>(v.number));
            break;
        case JsonValue::Type::text:
            byte('s'), string(v.text);
            break;
        case JsonValue::Type::list:
            byte('['), number(v.count);
            break;
        case JsonValue::Type::object:
            byte('{'), number(v.count);
            break;
    }
}

}  // namespace

std::string canonical_bytes(const Entry& entry, const JsonValues& body) {
    // The fields before the body; and of each value a letter, its key, its text and at most two numbers.
    std::size_t most = 256 + entry.kind.size() + entry.supersedes.size() * sizeof(Id);
    for (const JsonValue& v : body.in_order()) most += 17 + v.key.size() + v.text.size();
    Bytes bytes(most);
    bytes.text("RSTDe1");
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
    return bytes.done();
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
