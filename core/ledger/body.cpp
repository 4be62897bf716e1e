#include "core/ledger/body.h"

#include <algorithm>
#include <array>

namespace restand {

namespace {
// In the order of AnyBody.
constexpr std::array<std::string_view, std::variant_size_v<AnyBody>> kinds = {
    "person", "units", "bike", "swap", "step",    "swap_end", "reading", "baseline", "retraction", "change",
    "event",  "part",  "way",  "tick", "way_end", "record",   "device",  "shelf",    "pick"};
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

ReadAt read_at(const ReadingBody& body, const std::vector<SwapPart>& parts) {
    const End own = parts.empty() ? End::rear : end_of(parts.front());
    return {body.phase, body.end.value_or(own), body.reading.point};
}

ReadingBody read_in(const Swap& swap, const ReadAt& at, Reading reading, bool confirmed) {
    ReadingBody body{at.phase, std::move(reading), confirmed};
    if (read_at(body, swap.parts).end != at.end) body.end = at.end;
    return body;
}

std::string_view key(FrontHeights front_heights) {
    return front_heights == FrontHeights::square ? "square" : "along_fork";
}

std::string_view key(Stand stand) {
    return stand == Stand::hanging ? "hanging" : "swingarm";
}

}  // namespace restand
