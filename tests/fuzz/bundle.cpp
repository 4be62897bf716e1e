// Bundles and drafts of unknown origin. The envelope's hash would stop nearly every input at the door, so the
// bytes are also sealed anew and the archive behind the door is tried.
#include <cstdint>
#include <string_view>

#include "core/codec/bundle.h"
#include "core/codec/draft.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view bytes(reinterpret_cast<const char*>(data), size);
    (void)restand::read_bundle(bytes);
    (void)restand::read_bundle(restand::seal("BNDL", 1, bytes));
    (void)restand::read_draft(bytes);
    (void)restand::read_draft(restand::seal("DRFT", 1, bytes));
    return 0;
}
