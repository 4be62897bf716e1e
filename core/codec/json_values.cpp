#include "core/codec/json_values.h"

#include <charconv>
#include <cmath>

#include "core/codec/json_text.h"

namespace restand {

const JsonValue* JsonValue::find(std::string_view wanted) const {
    const JsonValue* member = begin();
    for (std::uint32_t i = 0; i < count; ++i, member = member->next())
        if (member->key == wanted) return member;
    return nullptr;
}

// The form of print_json(): no white space, keys ascending, escapes of one letter only. false: another form,
// or no JSON at all.
class PlainJsonReader {
public:
    PlainJsonReader(std::string_view text, JsonValues& to)
        : at_(text.data()), end_(text.data() + text.size()), to_(to) {
        constexpr std::size_t bytes_a_value = 12;  // as measured in readings
        to_.values_.reserve(4 + text.size() / bytes_a_value);
    }
    bool run() { return value({}, 0) && at_ == end_; }

private:
    using Type = JsonValue::Type;

    // Stands for itself in a text.
    static bool is_simple(char c) { return c >= 0x20 && c < 0x7f && c != '"' && c != '\\'; }
    bool take(char c) { return at_ != end_ && *at_ == c && (++at_, true); }
    bool word(std::string_view letters) {
        if (static_cast<std::size_t>(end_ - at_) < letters.size() ||
            std::string_view(at_, letters.size()) != letters)
            return false;
        at_ += letters.size();
        return true;
    }
    bool value(std::string_view key, std::size_t depth);
    bool inside(std::size_t place, bool object, std::size_t depth);
    bool number(JsonValue& v);
    bool text(std::string_view& text);
    bool unescaped(const char* begin, std::string_view& text);
    bool character();

    const char* at_;
    const char* end_;
    JsonValues& to_;
};

bool PlainJsonReader::value(std::string_view key, std::size_t depth) {
    const std::size_t place = to_.values_.size();
    JsonValue& v = to_.values_.emplace_back();
    v.key = key;
    if (at_ == end_) return false;
    switch (*at_) {
        case '{':
            v.type = Type::object;
            return inside(place, true, depth);
        case '[':
            v.type = Type::list;
            return inside(place, false, depth);
        case '"':
            v.type = Type::text;
            return text(v.text);
        case 't':
            v.type = Type::boolean;
            return v.truth = word("true");
        case 'f':
            v.type = Type::boolean;
            return word("false");
        case 'n':
            return word("null");
        default:
            return number(v);
    }
}

// The values of an object or a list; `place` is its own. Values move while others are added.
bool PlainJsonReader::inside(std::size_t place, bool object, std::size_t depth) {
    if (depth == json_depth) return false;
    const char close = object ? '}' : ']';
    ++at_;
    std::string_view last;
    std::uint32_t count = 0;
    for (; !take(close); ++count) {
        if (count > 0 && !take(',')) return false;
        std::string_view key;
        if (object) {
            if (!text(key) || !take(':') || (count > 0 && key <= last)) return false;
            last = key;
        }
        if (!value(key, depth + 1)) return false;
    }
    to_.values_[place].count = count;
    to_.values_[place].size = static_cast<std::uint32_t>(to_.values_.size() - place);
    return true;
}

// "-0" is the whole number 0 for parse_json(), "-0.0" is not.
bool PlainJsonReader::number(JsonValue& v) {
    v.type = Type::number;
    const char* const begin = at_;
    const auto digits = [this] {
        const char* const first = at_;
        while (at_ != end_ && *at_ >= '0' && *at_ <= '9') ++at_;
        return at_ - first;
    };
    (void)take('-');
    const bool zero = at_ != end_ && *at_ == '0';
    const auto whole = digits();
    if (whole == 0 || (zero && whole > 1)) return false;
    bool fraction = false;
    if (take('.')) {
        fraction = true;
        if (digits() == 0) return false;
    }
    if (take('e') || take('E')) {
        fraction = true;
        if (!take('+')) (void)take('-');
        if (digits() == 0) return false;
    }
    constexpr std::ptrdiff_t exact_digits = 15;  // so many fit into a double
    if (!fraction && whole <= exact_digits) {
        std::int64_t value = 0;
        (void)std::from_chars(begin, at_, value);
        v.number = static_cast<double>(value);
        return true;
    }
    const auto [last, wrong] = std::from_chars(begin, at_, v.number);
    if (wrong != std::errc() || last != at_ || !std::isfinite(v.number)) return false;
    return true;
}

bool PlainJsonReader::text(std::string_view& text) {
    if (!take('"')) return false;
    const char* const begin = at_;
    for (;;) {
        while (at_ != end_ && is_simple(*at_)) ++at_;
        if (at_ == end_) return false;
        if (*at_ == '"') break;
        if (*at_ == '\\') return unescaped(begin, text);
        if (!character()) return false;
    }
    text = {begin, static_cast<std::size_t>(at_ - begin)};
    ++at_;
    return true;
}

bool PlainJsonReader::unescaped(const char* begin, std::string_view& text) {
    auto& out = *to_.unescaped_.emplace_back(std::make_unique<std::string>(begin, at_));
    while (at_ != end_ && *at_ != '"') {
        if (take('\\')) {
            constexpr std::string_view letters = "\"\\/bfnrt", meant = "\"\\/\b\f\n\r\t";
            const auto which = at_ == end_ ? std::string_view::npos : letters.find(*at_);
            if (which == std::string_view::npos) return false;
            out += meant[which], ++at_;
            continue;
        }
        const char* const first = at_;
        if (!character()) return false;
        out.append(first, at_);
    }
    text = out;
    return take('"');
}

// One character of a text in UTF-8 (RFC 3629: shortest form, no surrogates, at most U+10FFFF).
bool PlainJsonReader::character() {
    const auto lead = static_cast<unsigned char>(*at_++);
    if (lead < 0x80) return lead >= 0x20;
    const int more = lead >= 0xc2 && lead <= 0xdf   ? 1
                     : (lead & 0xf0) == 0xe0        ? 2
                     : lead >= 0xf0 && lead <= 0xf4 ? 3
                                                    : 0;
    if (more == 0 || end_ - at_ < more) return false;
    const auto second = static_cast<unsigned char>(*at_);
    const unsigned char low = lead == 0xe0 ? 0xa0 : lead == 0xf0 ? 0x90 : 0x80;
    const unsigned char high = lead == 0xed ? 0x9f : lead == 0xf4 ? 0x8f : 0xbf;
    if (second < low || second > high) return false;
    for (int i = 1; i < more; ++i)
        if ((static_cast<unsigned char>(at_[i]) & 0xc0) != 0x80) return false;
    at_ += more;
    return true;
}

// The values of a tree that parse_json() made; it bounds the depth.
class JsonTreeReader {
public:
    explicit JsonTreeReader(JsonValues& to) : to_(to) {}
    void value(const nlohmann::json& from, std::string_view key);

private:
    JsonValues& to_;
};

void JsonTreeReader::value(const nlohmann::json& from, std::string_view key) {
    using Type = JsonValue::Type;
    const std::size_t place = to_.values_.size();
    JsonValue v;
    v.key = key;
    v.count = static_cast<std::uint32_t>(from.is_structured() ? from.size() : 0);
    if (from.is_boolean()) v.type = Type::boolean, v.truth = from.get<bool>();
    if (from.is_number()) v.type = Type::number, v.number = from.get<double>();
    if (from.is_string()) v.type = Type::text, v.text = from.get_ref<const std::string&>();
    if (from.is_array()) v.type = Type::list;
    if (from.is_object()) v.type = Type::object;
    to_.values_.push_back(v);
    if (from.is_array())
        for (const auto& one : from) value(one, {});
    if (from.is_object())
        for (const auto& [name, one] : from.items()) value(one, name);  // sorted by bytes
    to_.values_[place].size = static_cast<std::uint32_t>(to_.values_.size() - place);
}

Result<JsonValues> JsonValues::read(std::string_view text) {
    JsonValues values;
    if (PlainJsonReader(text, values).run()) return values;
    auto parsed = parse_json(text);
    if (!parsed) return parsed.error();
    const auto tree = std::make_shared<const nlohmann::json>(std::move(*parsed));
    values = {};
    values.tree_ = tree;
    JsonTreeReader(values).value(*tree, {});
    return values;
}

bool is_plain_json(std::string_view text) {
    JsonValues values;
    return PlainJsonReader(text, values).run();
}

}  // namespace restand
