#pragma once
// Internal to core/casefile: the readers that swap cases and bike cases share. The first error is kept, and
// every part read after it counts as absent.

#include "core/codec/strict_json.h"
#include "core/machine/height_map.h"
#include "core/machine/unit_force.h"

namespace restand::case_file {

using FirstError = std::optional<Error>;

// The ranges are wide. They catch a wrong unit or a misplaced decimal point, and they allow unusual bikes.
inline constexpr Range length_range = {"length", 0, 2000, true};
inline constexpr Range travel_range = {"travel", 0, 1000, true};
inline constexpr Range position_range = {"position", -200, 500};
inline constexpr Range rate_range = {"rate", 0, 2000, true};
inline constexpr Range force_range = {"force", 0, 20000};
inline constexpr Range pitch_range = {"pitch", 0, 50, true};
inline constexpr Range step_range = {"turns", 0, 10, true};
inline constexpr Range radius_range = {"radius", 100, 500};
inline constexpr Range coordinate_range = {"coordinate", -2000, 2000};
inline constexpr Range exponent_range = {"exponent", 1, 2};  // of a gas

// An ordering rule and the numbers that break it: "min <= now <= max, here 300, 320, 316".
std::string in_order(std::string rule, std::initializer_list<double> numbers);
// [[a, b], …] as numbers.
std::vector<std::pair<double, double>> number_pairs(const Json& list, const std::string& path,
                                                    const Range& first, const Range& second,
                                                    FirstError& error);
// [x, z] in mm.
PlanePoint point_at(Fields& fields, std::string_view key, FirstError& error);

Spring read_coil(Fields& fields);
// A coil with `force_table` in place of its rate; error: contradiction with a helper.
Spring read_spring(Fields& fields, const SuspensionUnit& unit, FirstError& error);
// Every key of a unit in a swap case, for the check of unknown keys. read_common() reads travel, gas,
// reservoir, bump rubber, legs, helper spring and top-out spring.
inline const std::initializer_list<std::string_view> unit_keys = {
    "eye_to_eye_mm", "fork_length_mm", "fork_position_mm", "travel_mm", "gas_force_n",
    "legs",          "reservoir",      "bump_rubber",      "spring",    "helper_spring",
    "other_leg",     "oil",            "top_out_spring"};
void read_common(Fields& unit, const std::string& path, int usual_legs, SuspensionUnit& out,
                 FirstError& error);
void not_loose(Fields& spring, const SuspensionUnit& unit, std::string_view key);

// A newer format may have new keys, so this check comes before the check of unknown keys. `read_version`
// comes after it.
std::optional<Error> of_newer_version(const Json& root);
void read_version(Fields& top);

Linkage read_linkage(const Json* node, const std::string& path, FirstError& error);

// Calls read(item, "name[1]") for each item of the list, up to the first error.
template <class Read>
void each(const Json* list, const std::string& name, FirstError& error, Read read) {
    if (!list || error) return;
    if (!list->is_array()) {
        error = Error{ErrorCode::wrong_type, name, "a list"};
        return;
    }
    for (std::size_t i = 0; i < list->size() && !error; ++i)
        read((*list)[i], name + "[" + std::to_string(i + 1) + "]");
}

}  // namespace restand::case_file
