#pragma once
// Internal to core/casefile: the parts of a case of format 2, each read as the body of an entry.

#include "core/casefile/bike_json.h"
#include "core/casefile/ledger_case.h"
#include "core/codec/strict_json.h"

namespace restand::case_file {

inline constexpr int ledger_version = 2;
inline const std::initializer_list<std::string_view> ledger_keys = {
    "restand_case", "note", "bike", "set_up", "described", "swap", "new", "targets", "adjusters", "pose"};
inline const std::initializer_list<std::string_view> swap_keys = {"parts", "before", "new_part", "set",
                                                                  "check"};

bool is_of_ledger(const Json& root);
// "bike", "set_up", "described" and "swap" of the case; keys are checked strictly.
LedgerCase read_ledger_bike(const Json& root, std::optional<Error>& error);
// The values of a list such as "set_up"; `key` names it in errors.
std::vector<SetValue> read_values(const Json* node, const std::string& key, std::optional<Error>& error);
// The swap with its readings, each step's later than those of the step before. A reading that its step does
// not ask for is refused. nullopt: no swap, or an error.
std::optional<Swap> read_swap(const Json* node, std::optional<Error>& error);
// The ranges of format 1. The ledger keeps what was typed; a solver needs a motorcycle.
Outcome plausible(const Geometry& geometry);
// Fills the bikes of `out`: before, and with the values of "new".
void read_ledger_bikes(const Json& root, BikeCase& out, std::optional<Error>& error);
// What the ledger's functions miss or refuse, by its place in the file: "set_up (rear spring_rate)".
Error in_file(const Error& error, const LedgerCase& c);
// As of_bike(), for format 2: what the machine misses, by its place in the file.
Error of_ledger_bike(const Error& error, const BikeCase& c);

}  // namespace restand::case_file
