#include "core/ledger/body.h"

#include <array>

namespace restand {

std::string_view kind_of(const Body& body) {
    // In the variant's order.
    constexpr std::array<std::string_view, std::variant_size_v<Body>> kinds = {
        "person", "units", "bike", "swap", "step", "swap_end", "reading", "baseline", "retraction",
        "change", "event",  "part",  "way",  "tick", "way_end",  "record",  "device"};
    return kinds[body.index()];
}

}  // namespace restand
