#include "core/machine/tyre_size.h"

#include <cctype>
#include <cmath>
#include <optional>

#include "core/quantity/conversions.h"

namespace restand {
namespace {

std::optional<int> number(std::string_view& rest) {
    int value = 0, digits = 0;
    while (!rest.empty() && std::isdigit(static_cast<unsigned char>(rest.front())) && digits < 4) {
        value = 10 * value + (rest.front() - '0');
        ++digits;
        rest.remove_prefix(1);
    }
    if (digits == 0) return std::nullopt;
    return value;
}

void skip(std::string_view& rest, std::string_view of) {
    while (!rest.empty() && of.find(rest.front()) != std::string_view::npos) rest.remove_prefix(1);
}

}  // namespace

Length TyreSize::radius() const {
    const double rim = std::round(25.4 * rim_code);  // mm, as in the regulation's table
    return mm(0.5 * rim + width.value * aspect / 100.0);
}

Result<TyreSize> tyre_size(std::string_view marking) {
    const Error unread{ErrorCode::wrong_type, "tyre", "a marking like 190/55 ZR17"};
    std::string_view rest = marking;
    skip(rest, " ");
    const auto width = number(rest);
    skip(rest, " ");
    if (!width || rest.empty() || rest.front() != '/') return unread;
    rest.remove_prefix(1);
    skip(rest, " ");
    const auto aspect = number(rest);
    skip(rest, " -ABHRVWZabhrvwz()");
    const auto rim = number(rest);
    if (!aspect || !rim) return unread;
    const auto outside = [](int v, int low, int high) { return v < low || v > high; };
    if (outside(*width, 50, 300)) return Error{ErrorCode::out_of_range, "tyre", "width; 50 to 300"};
    if (outside(*aspect, 25, 100)) return Error{ErrorCode::out_of_range, "tyre", "height; 25 to 100 %"};
    if (outside(*rim, 10, 21)) return Error{ErrorCode::out_of_range, "tyre", "rim; 10 to 21"};
    return TyreSize{mm(*width), *aspect, *rim};
}

Length radius_gained(const KnownTyre& was, const KnownTyre& is) {
    if (was.circumference && is.circumference) return (*is.circumference - *was.circumference) / (2.0 * pi);
    const auto before = tyre_size(was.marking), after = tyre_size(is.marking);
    return before && after ? after->radius() - before->radius() : mm(0);
}

}  // namespace restand
