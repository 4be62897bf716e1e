#pragma once
// Internal to core/casefile: the parts of a case of format 2, each read as the body of an entry.

#include "core/casefile/bike_json.h"
#include "core/casefile/ledger_case.h"
#include "core/codec/strict_json.h"

namespace restand::case_file {

inline constexpr int ledger_version = 2;
inline const std::initializer_list<std::string_view> ledger_keys = {
    "restand_case", "note", "bike", "set_up", "described", "new", "targets", "adjusters", "pose"};

bool is_of_ledger(const Json& root);
// "bike", "set_up" and "described" of the case; keys are checked strictly.
LedgerCase read_ledger_bike(const Json& root, std::optional<Error>& error);
// The values of a list such as "set_up"; `key` names it in errors.
std::vector<SetValue> read_values(const Json* node, const std::string& key, std::optional<Error>& error);
// Fills the bikes of `out`: before, and with the values of "new".
void read_ledger_bikes(const Json& root, BikeCase& out, std::optional<Error>& error);
// As of_bike(), for format 2: what the machine misses, by its place in the file.
Error of_ledger_bike(const Error& error, const BikeCase& c);

}  // namespace restand::case_file
