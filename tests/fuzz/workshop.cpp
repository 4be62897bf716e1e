// A workshop file of unknown origin: opened to be read and to be written, read by every question there is,
// checked, and what can be saved of it saved. Nothing changed may be taken for an entry.
#include <set>

#include "core/store/backup.h"
#include "tests/fuzz/patched.h"
#include "tests/fuzz/workshop_made.h"

using namespace restand;

namespace {

struct Good {
    fuzz::Place place;
    std::vector<Entry> entries = fuzz::make_workshop(place("good.restand"));
    std::string bytes = fuzz::read(place("good.restand"));
    std::string path = place("w.restand");
};
const Good& good() {
    static const Good made;
    return made;
}

void no_more_than(const std::vector<Entry>& read) {
    for (const Entry& entry : read)
        check(std::find(good().entries.begin(), good().entries.end(), entry) != good().entries.end(),
              "an entry that nobody wrote");
}

void ask(Store::Mode mode) {
    const auto store = Store::open(good().path, mode, [] { return std::int64_t{1'772'323'300'000}; });
    if (!store) return;
    if (const auto all = store->all()) no_more_than(*all);
    if (const auto opening = store->opening()) no_more_than(*opening);
    const Id bike = good().entries[1].id;
    (void)store->setup(bike, {INT64_MAX, UINT32_MAX});
    (void)store->part_names(bike);
    (void)store->ranges();
    HistoryQuery query;
    query.text = "kept";
    (void)store->history(query);
    for (Store::Walk walk; !walk.ended;)
        if (!store->next_of_season(bike, walk, 10)) break;
    (void)store->draft();
    (void)store->check();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string bytes = fuzz::patched(good().bytes, data, size);
    fuzz::write(good().path, bytes);
    ask(Store::Mode::read);
    if (const auto saved = salvage(good().path)) no_more_than(saved->entries);
    ask(Store::Mode::write);
    return 0;
}
