#include "core/ledger/bike_body.h"

namespace restand {

std::string_view key(FrontHeights front_heights) {
    return front_heights == FrontHeights::square ? "square" : "along_fork";
}

std::string_view key(Stand stand) {
    return stand == Stand::hanging ? "hanging" : "swingarm";
}

}  // namespace restand
