#pragma once
// A JSON text as one list of values in the order of its canonical bytes (canonical.h): what an entry's body
// is hashed and decoded from. Same rules as parse_json(): at most 64 levels, no key twice, UTF-8, finite
// numbers.
//
// A text in the form that print_json() writes is read in one pass, and its values point into it. Any other
// text is read by parse_json() first, and its values point into that tree.

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "core/quantity/result.h"

namespace restand {

// `text` and `key` live as long as the JsonValues and the text that it was read from.
struct JsonValue {
    enum class Type : std::uint8_t { null, boolean, number, text, list, object };
    std::string_view text;
    std::string_view key;                    // of a member of an object; data() is null elsewhere
    double number = 0.0;
    std::uint32_t count = 0;                 // of elements or members
    std::uint32_t size = 1;                  // of values: itself and all inside it, which stand behind it
    Type type = Type::null;
    bool truth = false;

    bool is(Type wanted) const { return type == wanted; }
    const JsonValue* begin() const { return this + 1; }       // the first inside it; then next()
    const JsonValue* next() const { return this + size; }
    const JsonValue* find(std::string_view wanted) const;     // a member; nullptr: none
};

class JsonValues {
public:
    // Error damaged, as of parse_json(). `text` must outlive the values.
    static Result<JsonValues> read(std::string_view text);
    const JsonValue& root() const { return values_.front(); }
    const std::vector<JsonValue>& in_order() const { return values_; }

private:
    std::vector<JsonValue> values_;
    std::vector<std::unique_ptr<std::string>> unescaped_;
    std::shared_ptr<const void> tree_;       // of parse_json()
    friend class PlainJsonReader;
    friend class JsonTreeReader;
};

// True if the text is in the form that print_json() writes, so that read() needs no tree.
bool is_plain_json(std::string_view text);

}  // namespace restand
