// The body of an entry that another device wrote: decoded and folded, or refused.
#include <array>
#include <cstdint>
#include <string>
#include <string_view>

#include "core/codec/body_json.h"
#include "core/codec/json_text.h"
#include "core/codec/json_values.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static constexpr std::array kinds = {"person",   "units",   "bike",     "swap",      "step",
                                         "swap_end", "reading", "baseline", "retraction"};
    if (size == 0) return 0;
    restand::Entry entry;
    entry.id.bytes[0] = 1;
    entry.kind = kinds[data[0] % kinds.size()];
    entry.body.assign(reinterpret_cast<const char*>(data) + 1, size - 1);
    restand::Ledger ledger;
    restand::read_into(ledger, {entry});
    (void)restand::hash_of(entry);
    // What is read without a tree is accepted by the tree's reader too.
    const bool plain = restand::is_plain_json(entry.body);
    restand::check(!plain || restand::parse_json(entry.body).has_value(), "plain JSON is JSON");
    return 0;
}
