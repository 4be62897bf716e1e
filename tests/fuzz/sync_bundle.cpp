// Parcels of unknown origin. The envelope's hash would stop nearly every input at the door, so a good
// parcel's inside is spoilt and sealed anew, and the bytes are tried as an inside of their own.
#include "core/sync/sync_bundle.h"
#include "core/codec/bundle.h"
#include "tests/fuzz/patched.h"
#include "tests/fuzz/workshop_made.h"

using namespace restand;

namespace {

constexpr std::size_t envelope = 52;  // bytes before the payload, bundle.h

const std::string& inside() {
    static const std::string made = [] {
        const fuzz::Place place;
        const auto entries = fuzz::make_workshop(place("w.restand"));
        return write_sync_bundle({{7, "truck", 1'772'323'200'000, ranges_of(entries)}, entries})
            .substr(envelope);
    }();
    return made;
}

void try_it(std::string_view bytes) {
    const auto sync_bundle = read_sync_bundle(bytes);
    if (!sync_bundle) return;
    // What was read can be written, and reads the same again.
    const auto again = read_sync_bundle(write_sync_bundle(*sync_bundle));
    check(again && again->entries == sync_bundle->entries && again->sender.holds == sync_bundle->sender.holds,
          "a parcel that was read reads again");
    (void)lacking(sync_bundle->sender.holds, ranges_of(sync_bundle->entries));
    (void)lacking(ranges_of(sync_bundle->entries), sync_bundle->sender.holds);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view bytes(reinterpret_cast<const char*>(data), size);
    try_it(bytes);
    try_it(seal("BNDL", 1, bytes));
    try_it(seal("BNDL", 2, bytes));
    try_it(seal("BNDL", 2, fuzz::patched(inside(), data, size)));
    return 0;
}
