#include "core/quantity/result.h"

#include <cstdio>

namespace restand {

void broken_invariant(const char* why) {
    std::fprintf(stderr, "restand: broken invariant: %s\n", why);
    throw BrokenInvariant{why};
}

}  // namespace restand
