// A backup of unknown origin and its sum beside it: listed, and put in the workshop's place or refused. What
// is put there opens and holds no entry that nobody wrote.
#include <algorithm>

#include "core/store/backup.h"
#include "tests/fuzz/patched.h"
#include "tests/fuzz/workshop_made.h"

using namespace restand;

namespace {

constexpr std::int64_t now = 1'772'400'000'000;

struct Good {
    fuzz::Place place;
    std::string workshop = place("w.restand"), folder = place("backups"), path;
    std::vector<Entry> entries = fuzz::make_workshop(workshop);
    std::string bytes, sum;
    Good() {
        auto store = Store::open(workshop, Store::Mode::write);
        check(store.has_value(), "a workshop to back up");
        const auto made = back_up(*store, folder, now);
        check(made.has_value(), "a backup to spoil");
        path = made->path;
        bytes = fuzz::read(path), sum = fuzz::read(path + ".sum");
    }
};

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const Good good;
    if (size == 0) return 0;
    const bool spoil_sum = data[0] & 1;
    fuzz::write(good.path, spoil_sum ? good.bytes : fuzz::patched(good.bytes, data + 1, size - 1));
    fuzz::write(good.path + ".sum", spoil_sum ? fuzz::patched(good.sum, data + 1, size - 1) : good.sum);
    (void)backups(good.folder, good.workshop);
    const std::string target = good.place("restored.restand");
    if (const auto put_aside = restore_backup(good.path, target, now)) {
        const auto store = Store::open(target, Store::Mode::read);
        check(store.has_value(), "what was restored opens");
        const auto entries = store->all();
        check(entries.has_value(), "what was restored reads");
        for (const Entry& entry : *entries)
            check(entry.kind == "device" ||
                      std::find(good.entries.begin(), good.entries.end(), entry) != good.entries.end(),
                  "an entry that nobody wrote");
        std::error_code ignored;
        if (!put_aside->empty()) std::filesystem::remove(*put_aside, ignored);
    }
    std::error_code ignored;
    std::filesystem::remove(target, ignored);
    return 0;
}
