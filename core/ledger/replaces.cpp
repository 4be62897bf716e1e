#include "core/ledger/replaces.h"

#include <algorithm>

namespace restand {

namespace {
// True if the later change sets every value of the earlier one again.
bool all_set_by(const ChangeBody& later, const ChangeBody& earlier) {
    return std::all_of(earlier.values.begin(), earlier.values.end(), [&](const SetValue& v) {
        return std::any_of(later.values.begin(), later.values.end(), [&](const SetValue& l) {
            return l.end == v.end && l.reading.point == v.reading.point;
        });
    });
}
}  // namespace

bool takes_the_place_of(const Body& later, const Body& earlier) {
    if (const auto* a = std::get_if<ReadingBody>(&earlier), *b = std::get_if<ReadingBody>(&later); a && b)
        return a->phase == b->phase && a->end == b->end && a->reading.point == b->reading.point;
    if (const auto* a = std::get_if<ChangeBody>(&earlier), *b = std::get_if<ChangeBody>(&later); a && b)
        return all_set_by(*b, *a);
    return later == earlier;
}

}  // namespace restand
