#include "core/ledger/body.h"

#include <array>

namespace restand {

std::string_view kind_of(const Body& body) {
    // In the variant's order.
    constexpr std::array<std::string_view, std::variant_size_v<Body>> kinds = {
        "person", "units", "bike", "swap", "step", "swap_end", "reading", "baseline", "retraction",
        "change", "event",  "part",  "way",  "tick", "way_end",  "record",  "device", "shelf", "pick"};
    return kinds[body.index()];
}

ReadAt read_at(const ReadingBody& body, const std::vector<SwapPart>& parts) {
    const End own = parts.empty() ? End::rear : end_of(parts.front());
    return {body.phase, body.end.value_or(own), body.reading.point};
}

}  // namespace restand
