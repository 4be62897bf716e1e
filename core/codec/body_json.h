#pragma once
// The JSON of an entry's body, and its canonical bytes for hashing.
// Keys carry their unit (_mm, _n_per_mm, _deg); numbers are finite doubles; at most 64 levels.

#include "core/ledger/ledger.h"

namespace restand {

std::string body_json(const Body& body);
// Errors: damaged (no JSON, too deep), unknown_key is kept silently (a newer Restand wrote it), wrong_type,
// missing, out_of_range; subject = key path. An unknown kind: not_found with the kind as subject.
Result<Body> body_from_json(std::string_view kind, std::string_view json);
Result<Fact> decode(const Entry& entry);
// Decodes and folds. What this version cannot read still supersedes; it is reported (not_found: an unknown
// kind, no fault) and otherwise left as it is.
struct Unread { Id entry; Error error; };
std::vector<Unread> read_into(Ledger& ledger, const std::vector<Entry>& entries);
NewEntry encode(const Body& body, Id bike = {}, Id about = {}, Id by = {}, std::vector<Id> supersedes = {});

// Is the earlier one said anew by the later one, so that it must not be written after it? As ledger/replaces.h has it, of
// one kind, bike and subject.
bool takes_the_place_of(const NewEntry& later, const NewEntry& earlier);

// SHA-256 over canonical bytes of all fields but `hash`: strings length-prefixed, JSON keys sorted, doubles
// by their IEEE-754 bits. Error damaged when the body is no JSON.
Result<Hash> hash_of(const Entry& entry);

}  // namespace restand
