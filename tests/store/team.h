#pragma once
// Devices of one team for the tests of exchange places: each with a workshop of its own.

#include <set>

#include "core/sync/sync_bundle.h"
#include "tests/store/workshop.h"

namespace restand::test {

struct Device {
    std::string name, path;
    Store store;

    Device(const Folder& folder, const std::string& called)
        : name(called), path(folder(called + ".restand")), store(test::open(path)) {}
    Sender sender(std::int64_t at_ms = 1'760'000'000'000) const {
        return {store.device(), name, at_ms, got(store.ranges())};
    }
    Those those() const {
        return [this](const std::vector<Lack>& wanted) { return store.those(wanted); };
    }
    void write(int count) {
        for (int i = 0; i < count; ++i)
            got(store.append(encode(PersonBody{name + " " + std::to_string(next_++)})));
    }
    std::set<std::pair<Id, Hash>> entries() const {
        std::set<std::pair<Id, Hash>> all;
        for (const Entry& entry : got(store.all())) all.insert({entry.id, entry.hash});
        return all;
    }

private:
    int next_ = 0;
};

// As the program does it: put, take, and say what is held then. The number of new entries.
template <class Place>
std::uint64_t exchange(const Place& place, Device& device) {
    got(put(place, device.sender(), device.those()));
    const Taken taken = got(take(place, device.sender()));
    const auto merged = got(device.store.merge(taken.entries));
    REQUIRE(merged.refused.empty());
    if (merged.added > 0) CHECK(got(put(place, device.sender(), device.those())) == 0);
    return merged.added;
}

}  // namespace restand::test
