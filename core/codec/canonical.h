#pragma once
// The bytes of an entry that its hash covers: every field except the hash, in one fixed form.
//
//   tag "RSTDe1" · id · device u64 · number u64 · clock ms i64 · counter u32 · previous · kind · bike · about
//   · by · supersedes (count u64, ids) · body
// Integers are little-endian; the length of a string (u64) stands before it. The body is written as a tree,
// so white space and the order of keys have no effect: n | t | f | d + IEEE-754 bits | s + string
// | [ + count + values | { + count + (key, value) sorted by key.
// Every number is a double: 1 and 1.0 are equal.

#include <string>

#include "core/codec/json_values.h"
#include "core/ledger/entry.h"

namespace restand {

std::string canonical_bytes(const Entry& entry, const JsonValues& body);
Hash sha256(std::string_view bytes);
std::string to_text(const Hash& hash);  // lower-case hex

}  // namespace restand
