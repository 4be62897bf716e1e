#include "core/quantity/result.h"

#include <cstdio>

namespace restand {

void broken_invariant(const char* why) {
    std::fprintf(stderr, "restand: broken invariant: %s\n", why);
    throw BrokenInvariant{why};
}

std::string_view key(ErrorCode code) {
    switch (code) {
        case ErrorCode::not_a_number:
            return "not_a_number";
        case ErrorCode::out_of_range:
            return "out_of_range";
        case ErrorCode::unknown_unit:
            return "unknown_unit";
        case ErrorCode::wrong_unit:
            return "wrong_unit";
        case ErrorCode::wrong_type:
            return "wrong_type";
        case ErrorCode::unknown_key:
            return "unknown_key";
        case ErrorCode::missing:
            return "missing";
        case ErrorCode::not_sorted:
            return "not_sorted";
        case ErrorCode::not_monotone:
            return "not_monotone";
        case ErrorCode::contradiction:
            return "contradiction";
        case ErrorCode::too_large:
            return "too_large";
        case ErrorCode::truncated:
            return "truncated";
        case ErrorCode::damaged:
            return "damaged";
        case ErrorCode::not_ours:
            return "not_ours";
        case ErrorCode::newer_version:
            return "newer_version";
        case ErrorCode::read_only:
            return "read_only";
        case ErrorCode::in_use:
            return "in_use";
        case ErrorCode::not_found:
            return "not_found";
        case ErrorCode::io:
            return "io";
        case ErrorCode::no_solution:
            return "no_solution";
        case ErrorCode::cancelled:
            return "cancelled";
    }
    return "";
}

}  // namespace restand
