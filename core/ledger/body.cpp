#include "core/ledger/body.h"

#include <algorithm>
#include <array>

namespace restand {

namespace {
// In the order of AnyBody.
constexpr std::array<std::string_view, std::variant_size_v<AnyBody>> kinds = {
    "person", "units", "bike", "swap", "step",    "swap_end", "reading", "baseline", "retraction", "change",
    "event",  "part",  "way",  "tick", "way_end", "record",   "device",  "shelf",    "pick",       "job"};
}  // namespace

Body::Body() = default;
Body::Body(const Body&) = default;
Body::Body(Body&&) noexcept = default;
Body& Body::operator=(const Body&) = default;
Body& Body::operator=(Body&&) noexcept = default;
Body::~Body() = default;

std::string_view kind_of(const Body& body) {
    return kinds[body.index()];
}

bool is_kind(std::string_view kind) {
    return std::find(kinds.begin(), kinds.end(), kind) != kinds.end();
}

}  // namespace restand
