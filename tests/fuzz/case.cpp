// A case file of unknown origin: refused with a reason or solved, never a crash.
#include <cstdint>
#include <string_view>

#include "core/exchange/answer_json.h"
#include "core/exchange/case_json.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto read = restand::read_case({reinterpret_cast<const char*>(data), size});
    if (read) (void)restand::sure_answer(read->swap, read->inputs, read->remake);
    return 0;
}
