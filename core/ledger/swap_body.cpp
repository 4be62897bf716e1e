#include "core/ledger/swap_body.h"

#include <array>

#include <utility>

namespace restand {

std::string_view key(Judged judged) {
    constexpr std::array<std::string_view, 5> keys = {"not_said", "restored", "not_restored", "cannot_tell",
                                                      "not_checked"};
    return keys[static_cast<std::size_t>(judged)];
}

ReadAt read_at(const ReadingBody& body, const std::vector<SwapPart>& parts) {
    const End own = parts.empty() ? End::rear : end_of(parts.front());
    return {body.phase, body.end.value_or(own), body.reading.point};
}

ReadingBody read_in(const Swap& swap, const ReadAt& at, Reading reading, bool confirmed) {
    ReadingBody body{at.phase, std::move(reading), confirmed};
    if (read_at(body, swap.parts).end != at.end) body.end = at.end;
    return body;
}

}  // namespace restand
