#pragma once
// Strict reader for JSON files written by a person. A duplicate key, NaN or an extra comma is an error with
// its position. This header exposes the JSON library, so only the readers and writers of JSON include it.
//
// Errors: damaged (not JSON; subject = "line L, column C"), not_a_number (NaN or Infinity in place of a
// number; subject = field path), contradiction (duplicate key), too_large (deeper or wider than the caps).

#include <initializer_list>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/quantity/result.h"

namespace restand {

using Json = nlohmann::ordered_json;
inline constexpr std::size_t json_depth_cap = 32;
inline constexpr std::size_t json_width_cap = 200;  // keys in one object

Result<Json> parse_strictly(std::string_view text);

// The numbers a field allows; `name` is the name of the number in an error.
struct Range {
    std::string_view name;
    double low, high;
    bool open_low = false;  // true: `low` itself is not allowed
};
std::string to_text(const Range& range);  // "0 < rate <= 2000"
std::string exact_text(double v);         // reading it back gives the same double

// Reads the fields of one object. `error` keeps the first error, and every field read after it counts as
// absent, so a caller can read all fields and check `error` once. The constructor refuses unknown keys and
// names the nearest known key.
class Fields {
public:
    Fields(const Json* object, std::string path, std::initializer_list<std::string_view> known,
           std::optional<Error>& error);

    bool has(std::string_view key) const;
    const Json* node(std::string_view key) const;  // nullptr when absent or after an error
    std::string path(std::string_view key) const;
    std::optional<double> number(std::string_view key, const Range& range);
    double required(std::string_view key, const Range& range);  // 0 after an error
    const Json* required_node(std::string_view key);
    std::optional<std::string> text(std::string_view key);
    void refuse(ErrorCode code, std::string_view key, std::string detail);

private:
    const Json* object_;
    std::string path_;
    std::optional<Error>& error_;
};

// A number outside an object, e.g. in a pair. Errors not_a_number, out_of_range.
std::optional<double> number_at(const Json& node, const std::string& path, const Range& range,
                                std::optional<Error>& error);
}  // namespace restand
