#pragma once
// The JSON of an entry's body, and its canonical bytes for hashing.
// Keys state their unit (_mm, _n_per_mm, _deg); numbers are finite doubles; at most 64 levels.

#include "core/ledger/ledger.h"

namespace restand {

std::string body_json(const Body& body);
// Errors: damaged (not JSON, too deep), wrong_type, missing, out_of_range; subject = key path. An unknown
// kind: not_found with the kind as subject. Unknown keys are no error and stay in the entry: a newer Restand
// wrote them.
Result<Body> body_from_json(std::string_view kind, std::string_view json);
Result<Fact> decode(const Entry& entry);
// Decodes the entries and folds them into the ledger. An entry that this version cannot read still supersedes
// others. It is reported (not_found: unknown kind, not a fault) and otherwise left unchanged.
struct Unread { Id entry; Error error; };
std::vector<Unread> read_into(Ledger& ledger, const std::vector<Entry>& entries);
NewEntry encode(const Body& body, Id bike = {}, Id about = {}, Id by = {}, std::vector<Id> supersedes = {});

// True if the later entry replaces the earlier one, so that the earlier one must not be written after it.
// Both have the same kind, bike and subject, and the rules of ledger/replaces.h apply.
bool takes_the_place_of(const NewEntry& later, const NewEntry& earlier);

// SHA-256 over the canonical bytes of all fields except `hash`: strings with a length prefix, JSON keys
// sorted, doubles as IEEE-754 bits. Error: damaged if the body is not JSON.
Result<Hash> hash_of(const Entry& entry);

}  // namespace restand
