// An entry's body is read without a tree where its text allows it. parse_json() and its tree decide what is
// right: the same texts are accepted, and the values are the same to the last bit.

#include "core/codec/json_values.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <bit>
#include <nlohmann/json.hpp>
#include <random>

#include "core/codec/canonical.h"
#include "core/codec/json_text.h"
#include "core/codec/sha256.h"
#include "tests/store/demo_season.h"
#include "tests/store/workshop.h"

using namespace restand;

namespace {

using nlohmann::json;

bool same_as_tree(const JsonValue& v, const json& tree) {
    switch (v.type) {
        case JsonValue::Type::null:
            return tree.is_null();
        case JsonValue::Type::boolean:
            return tree.is_boolean() && v.truth == tree.get<bool>();
        case JsonValue::Type::number:
            return tree.is_number() &&
                   std::bit_cast<std::uint64_t>(v.number) == std::bit_cast<std::uint64_t>(tree.get<double>());
        case JsonValue::Type::text:
            return tree.is_string() && v.text == tree.get_ref<const std::string&>();
        case JsonValue::Type::list:
        case JsonValue::Type::object:
            break;
    }
    if (v.count != tree.size() || v.is(JsonValue::Type::list) != tree.is_array()) return false;
    const JsonValue* inner = v.begin();
    for (auto it = tree.begin(); it != tree.end(); ++it, inner = inner->next())
        if ((tree.is_object() && inner->key != it.key()) || !same_as_tree(*inner, *it)) return false;
    return inner == v.next();
}

void check_as_tree(const std::string& text) {
    const auto values = JsonValues::read(text);
    const auto tree = parse_json(text);
    const bool same =
        values.has_value() == tree.has_value() && (!tree || same_as_tree(values->root(), *tree));
    CHECK_MESSAGE(same, text.substr(0, 200));
    if (!tree) CHECK_MESSAGE(!is_plain_json(text), text.substr(0, 200));
}

// Texts of every form, the plain one among them.
class RandomJson {
public:
    explicit RandomJson(unsigned seed) : random_(seed) {}
    std::string text(int depth = 0) {
        switch (one_of(depth > 4 ? 5 : 7)) {
            case 0:
                return number();
            case 1:
                return word();
            case 2:
                return pick({"true", "false", "null"});
            case 3:
                return number();
            case 4:
                return word();
            case 5:
                return list(depth);
            default:
                return object(depth);
        }
    }
    int one_of(int count) { return static_cast<int>(random_() % static_cast<unsigned>(count)); }

private:
    std::string pick(std::vector<std::string> from) { return from[random_() % from.size()]; }
    std::string space() { return one_of(40) ? "" : pick({" ", "\n", "\t"}); }
    std::string number() {
        const std::string sign = one_of(3) ? "" : "-";
        if (one_of(3) == 0)
            return sign + pick({"0",
                                "-0",
                                "0.0",
                                "00",
                                "1e400",
                                "1e-400",
                                "5e-324",
                                "2.5e-324",
                                "1E5",
                                "1e+05",
                                ".5",
                                "5.",
                                "18446744073709551615",
                                "18446744073709551616",
                                "9223372036854775808",
                                "9007199254740993",
                                "123456789012345678901234567890",
                                "1.7976931348623157e308",
                                "1.7976931348623159e308",
                                "0.1",
                                "1e",
                                "+1",
                                "1.5e-3",
                                "NaN"});
        return sign + std::to_string(one_of(1000)) + (one_of(2) ? "." + std::to_string(one_of(100000)) : "");
    }
    std::string word() {
        std::string letters;
        for (int i = one_of(6); i > 0; --i)
            letters += one_of(12) ? pick({"a", "b", "rebound", "4", "ö", "√", "𝄞", "~", "\x7f"})
                                  : pick({"\\n", "\\\"", "\\\\", "\\/", "\\u00e9", "\\ud834\\udd1e",
                                          "\\ud834", "\\x", "\n", "\xff", "\xc0\xaf", "\xed\xa0\x80",
                                          "\xf4\x90\x80\x80", "\xe2\x82", "\\u0000", "\xef\xbf\xbf"});
        return "\"" + letters + "\"";
    }
    std::string list(int depth) {
        std::string out = "[";
        for (int i = one_of(4); i > 0; --i) out += space() + text(depth + 1) + (i > 1 ? "," : "");
        return out + space() + "]";
    }
    std::string object(int depth) {
        std::vector<std::string> keys;
        for (int i = one_of(5); i > 0; --i) keys.push_back(word());
        if (one_of(4)) {
            std::sort(keys.begin(), keys.end());
            keys.erase(std::unique(keys.begin(), keys.end()), keys.end());
        }
        std::string out = "{";
        for (const auto& key : keys)
            out += space() + key + ":" + text(depth + 1) + (&key != &keys.back() ? "," : "");
        return out + "}";
    }

    std::mt19937 random_;
};

}  // namespace

TEST_CASE("json values: texts at random are read, or refused, as by parse_json()") {
    RandomJson random(7);
    int plain = 0, refused = 0, neither = 0;
    for (int i = 0; i < 40'000; ++i) {
        std::string text = random.text();
        if (random.one_of(3) == 0 && !text.empty()) {
            const auto at = static_cast<std::size_t>(random.one_of(static_cast<int>(text.size())));
            constexpr std::string_view wrong = "\"\\{}[],:0-.e tn\x80";
            text[at] = wrong[static_cast<std::size_t>(random.one_of(static_cast<int>(wrong.size())))];
        }
        check_as_tree(text);
        const bool good = parse_json(text).has_value();
        plain += is_plain_json(text), refused += !good, neither += good && !is_plain_json(text);
    }
    // Each of the three was met often.
    CHECK(plain > 5000);
    CHECK(refused > 2000);
    CHECK(neither > 1000);
}

TEST_CASE("json values: the edges of the form") {
    const std::string deep(64, '['), too_deep(65, '[');
    for (const std::string& text : {std::string(),
                                    std::string("{}"),
                                    std::string("[]"),
                                    std::string("{\"\":0}"),
                                    std::string("{\"a\":1,\"a\":2}"),
                                    std::string("{\"a\\n\":1,\"a\\n\":2}"),
                                    std::string("{\"b\":1,\"a\":2}"),
                                    std::string("{\"a\":1,}"),
                                    std::string("[1,]"),
                                    std::string("[,1]"),
                                    std::string("{}x"),
                                    std::string("\xef\xbb\xbf{}"),
                                    std::string("{\"a\":-0}"),
                                    std::string("{\"a\":-0.0}"),
                                    std::string("{\"a\":-0e0}"),
                                    std::string("{\"a\"}"),
                                    std::string("\"\0\"", 3),
                                    std::string("[1\0]", 4),
                                    deep + std::string(64, ']'),
                                    too_deep + std::string(65, ']'),
                                    std::string("{\"ä\":1,\"z\":2}"),
                                    std::string("{\"z\":1,\"ä\":2}"),
                                    std::string("[tru]"),
                                    std::string("-")})
        check_as_tree(text);
    // A key is found in its own object only.
    const std::string text = R"({"a":{"b":1},"b":2})";
    const auto values = test::got(JsonValues::read(text));
    REQUIRE(values.root().find("b") != nullptr);
    CHECK(values.root().find("b")->number == 2.0);
    CHECK(values.root().find("a")->find("a") == nullptr);
}

TEST_CASE("json values: whatever Restand writes is plain") {
    const auto& entries = test::demo_season().entries;
    REQUIRE(entries.size() > 100);
    for (const Entry& e : entries) {
        CHECK_MESSAGE(is_plain_json(e.body), e.body.substr(0, 200));
        check_as_tree(e.body);
    }
}

TEST_CASE("SHA-256: in pieces of any size as in one, and as the standard's example") {
    std::mt19937 random(3);
    for (std::size_t size = 0; size < 300; ++size) {
        std::string bytes(size, '\0');
        for (char& c : bytes) c = static_cast<char>(random());
        Sha256 in_pieces;
        for (std::string_view left = bytes; !left.empty();) {
            const auto piece = left.substr(0, 1 + random() % 70);
            in_pieces.add(piece);
            left.remove_prefix(piece.size());
        }
        CHECK(in_pieces.finish() == sha256(bytes));
    }
    // FIPS 180-4's example of two blocks.
    CHECK(to_text(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq")) ==
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
}
