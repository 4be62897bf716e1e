// An exchange folder in which another device's files are of unknown origin: looked at, taken from, put into.
#include "core/codec/bundle.h"
#include "core/sync/sync_bundle.h"
#include "tests/fuzz/patched.h"
#include "tests/fuzz/workshop_made.h"

using namespace restand;

namespace {

struct Good {
    fuzz::Place place;
    std::vector<Entry> entries = fuzz::make_workshop(place("w.restand"));
    Sender me{9, "box", 1'772'323'200'000, ranges_of(entries)};
    std::string folder = place("stick"), theirs = folder + "/restand-exchange/0000000000000007/";
    std::string holds =
        write_sync_bundle({{7, "truck", 1'772'323'200'000, ranges_of(entries)}, {}}).substr(52);
    Good() { std::filesystem::create_directories(theirs); }
};

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const Good good;
    if (size == 0) return 0;
    const std::string inside = fuzz::patched(good.holds, data + 1, size - 1);
    const std::string file =
        data[0] & 1 ? std::string(reinterpret_cast<const char*>(data), size) : seal("BNDL", 2, inside);
    fuzz::write(good.theirs + (data[0] & 2 ? "20260301-120000-00.rst" : "holds.rst"), file);
    const FolderPlace place{good.folder};
    (void)look(place, good.me);
    const auto taken = take(place, {9, "box", 0, {}});
    if (taken)
        for (const Entry& entry : taken->entries) {
            const auto hash = hash_of(entry);
            check(hash && *hash == entry.hash, "an entry was taken unverified");
        }
    return 0;
}
