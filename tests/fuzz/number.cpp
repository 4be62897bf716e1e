// What a gauge or a person may type.
#include <cstdint>
#include <string_view>

#include "core/quantity/unit.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace restand;
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    for (const Unit unit : {Unit::mm, Unit::inch, Unit::lbf_per_in, Unit::newton, Unit::one, Unit::bar})
        if (const auto typed = read_typed(text, unit))
            check(read_typed(typed->text, typed->unit).has_value(), "what was read reads again");
    return 0;
}
