// Parcels of unknown origin. The envelope's hash would stop nearly every input at the door, so a good parcel's inside
// is spoilt and sealed anew, and the bytes are tried as an inside of their own.
#include "core/exchange/bundle.h"
#include "core/exchange/parcel.h"
#include "tests/fuzz/patched.h"
#include "tests/fuzz/workshop_made.h"

using namespace restand;

namespace {

constexpr std::size_t envelope = 52;  // bytes before the payload, bundle.h

const std::string& inside() {
    static const std::string made = [] {
        const fuzz::Place place;
        const auto entries = fuzz::make_workshop(place("w.restand"));
        return write_parcel({{7, "truck", 1'772'323'200'000, holdings_of(entries)}, entries}).substr(envelope);
    }();
    return made;
}

void try_it(std::string_view bytes) {
    const auto parcel = read_parcel(bytes);
    if (!parcel) return;
    // What was read can be written, and reads the same again.
    const auto again = read_parcel(write_parcel(*parcel));
    check(again && again->entries == parcel->entries && again->sender.holds == parcel->sender.holds,
          "a parcel that was read reads again");
    (void)lacking(parcel->sender.holds, holdings_of(parcel->entries));
    (void)lacking(holdings_of(parcel->entries), parcel->sender.holds);
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
