#include "tests/store/merge_property_run.h"

#include <algorithm>
#include <array>
#include <random>
#include <sstream>
#include <thread>

#include "core/codec/bundle.h"
#include "core/ledger/version_ranges.h"
#include "tests/store/workshop.h"

namespace restand::test {
namespace {

constexpr unsigned threads = 2;
constexpr std::size_t most_devices = 5, spare_stores = 3;
constexpr std::int64_t ten_years = 3653ll * 86'400'000;

// A device: its file, its clock, and old copies of its file.
struct Device {
    std::string path;
    std::optional<Store> store;
    std::int64_t wrong_by = 0;
    std::string copy;                         // of the file, as it once was
    std::vector<std::string> replaced;        // files a restore put aside
    std::optional<std::vector<Entry>> holds;  // Store::all(), asked again only after a change
};

// One worker: files that are used again for every history, begun from empty workshops made once.
class World {
public:
    World(unsigned seed, MergeMutant mutant) : random_(seed), mutant_(mutant) {
        for (std::size_t i = 0; i < most_devices + spare_stores; ++i) {
            const std::string path = folder_("d" + std::to_string(i) + ".restand");
            { Store made = test::open(path); }
            empty_.push_back(bytes_of(path));
        }
    }
    void history();
    MergeTally tally;

private:
    std::size_t any(std::size_t below) { return random_() % below; }
    bool chance(unsigned percent) { return random_() % 100 < percent; }
    void violation(std::uint64_t& count, const std::string& what) {
        ++count;
        if (tally.examples.size() < 5)
            tally.examples.push_back("history " + std::to_string(tally.histories) + ": " + what);
    }
    // Throws: a store that does not work ends the history (caught in history()).
    template <class T>
    static T must(Result<T> result, const char* what) {
        if (!result) throw std::runtime_error(std::string(what) + ": " + result.error().detail);
        return std::move(*result);
    }

    Store begin(std::size_t file, Device* device = nullptr);
    void reopen(Device& device);
    void write(Device& device);
    void exchange(Device& from, Device& to);
    void go_back(Device& device);
    void step();
    std::vector<Entry> passed_on(const std::vector<Entry>& entries, const Store& to) const;
    const std::vector<Entry>& holds(Device& device) {
        if (!device.holds) device.holds = must(device.store->all(), "all");
        return *device.holds;
    }
    std::vector<Entry> lacking_in(Device& to, Device& from);
    void merge(Store& to, const std::vector<Entry>& entries) {
        const auto merged = must(to.merge(passed_on(entries, to)), "merge");
        if (!merged.refused.empty()) throw std::runtime_error("merge refuses " + merged.refused[0].subject);
    }
    void merge(Device& to, const std::vector<Entry>& entries) {
        if (entries.empty()) return;
        to.holds.reset();
        merge(*to.store, entries);
    }
    void gossip();
    void compare();
    void algebra();
    void fold(const std::vector<Entry>& expected);
    void clocks(const std::vector<Entry>& entries);

    const Folder folder_;
    std::vector<std::string> empty_;
    std::mt19937 random_;
    MergeMutant mutant_;
    std::int64_t now_ = march_2026;
    std::vector<Device> devices_;
    std::vector<Entry> written_;  // everything, by anybody, ever
};

Store World::begin(std::size_t file, Device* device) {
    const std::string path = folder_("d" + std::to_string(file) + ".restand");
    write_bytes(path, empty_[file]);
    if (device) device->path = path;
    auto wall = [this, device] { return now_ + (device ? device->wrong_by : 0); };
    return must(Store::open(path, Store::Mode::write, wall), "open");
}

void World::reopen(Device& device) {
    Device* const self = &device;
    device.store.emplace(
        must(Store::open(device.path, Store::Mode::write, [this, self] { return now_ + self->wrong_by; }),
             "open"));
    device.holds.reset();
}

// An entry of some kind that supersedes what its device happens to know of.
void World::write(Device& device) {
    const auto known = holds(device);
    const auto some = [&](std::string_view kind) {
        std::vector<Id> ids;
        for (const Entry& e : known)
            if (e.kind == kind) ids.push_back(e.id);
        return ids.empty() ? Id{} : ids[any(ids.size())];
    };
    const Id bike = some("bike");
    NewEntry entry = encode(test::bike("No. " + std::to_string(any(100))));
    if (!bike.nil()) {
        const Id last = some("baseline");
        switch (any(5)) {
            case 0:
            case 1:
                entry = encode(BaselineBody{"kept " + std::to_string(any(1000)), last, {}}, bike, {}, {},
                               last.nil() || chance(50) ? std::vector<Id>{} : std::vector<Id>{last});
                break;
            case 2:
                entry = encode(test::bike("No. " + std::to_string(any(100))), bike, {}, {}, {bike});
                break;
            case 3:
                if (!last.nil()) entry = encode(RetractionBody{"wrong"}, bike, {}, {}, {last});
                break;
            default:
                entry = encode(PersonBody{"P" + std::to_string(any(100))});
        }
    }
    written_.push_back(must(device.store->append(entry), "append"));
    device.holds->push_back(written_.back());
}

// What the merge is given: everything, or what a mutant leaves of it.
std::vector<Entry> World::passed_on(const std::vector<Entry>& entries, const Store& to) const {
    if (mutant_ == MergeMutant::none) return entries;
    const auto held = must(to.all(), "all");
    std::vector<Entry> left;
    for (const Entry& e : entries) {
        const bool dropped = std::any_of(held.begin(), held.end(), [&](const Entry& h) {
            if (mutant_ == MergeMutant::first_fork_wins)
                return h.device == e.device && h.number == e.number && h.id != e.id;
            return h.clock > e.clock;
        });
        if (!dropped) left.push_back(e);
    }
    return left;
}

// By missing ranges, as the folder and the server are asked.
std::vector<Entry> World::lacking_in(Device& to, Device& from) {
    const auto wanted = lacking(ranges_of(holds(to)), ranges_of(holds(from)));
    std::vector<Entry> entries;
    for (const Entry& e : holds(from))
        if (within(wanted, e.device, e.number)) entries.push_back(e);
    return entries;
}

void World::exchange(Device& from, Device& to) {
    ++tally.exchanges;
    auto entries = chance(50) ? lacking_in(to, from) : holds(from);
    if (chance(30)) {
        // A part, in any order: what an entry refers to may come later or never.
        std::shuffle(entries.begin(), entries.end(), random_);
        entries.resize(any(entries.size() + 1));
    }
    const std::string bundle = write_bundle(entries);
    if (chance(15)) {
        ++tally.broken_off;
        if (read_bundle(std::string_view(bundle).substr(0, any(bundle.size()))))
            violation(tally.not_whole, "a bundle cut short is read");
        return;
    }
    const auto read = must(read_bundle(bundle), "bundle");
    merge(to, read);
    if (chance(20)) merge(to, read);
}

// The file as it once was takes the place of the file as it is, which is put aside.
void World::go_back(Device& device) {
    device.store.reset();
    const std::string now = bytes_of(device.path);
    if (device.copy.empty() || chance(50)) {
        device.copy = now;
    } else {
        ++tally.restores;
        device.replaced.push_back(now);
        write_bytes(device.path, device.copy);
    }
    reopen(device);
}

void World::step() {
    now_ += static_cast<std::int64_t>(any(3'600'000));
    Device& device = devices_[any(devices_.size())];
    const std::size_t roll = any(100);
    if (roll < 55) {
        write(device);
    } else if (roll < 85) {
        Device& to = devices_[any(devices_.size())];
        if (&to != &device) exchange(device, to);
    } else if (roll < 95) {
        go_back(device);
    } else {
        device.wrong_by = static_cast<std::int64_t>(random_() % 2001) * ten_years / 1000 - ten_years;
    }
}

// Along the row, and back from the last one, who has then met everybody.
void World::gossip() {
    // Files that a restore put aside are imported like any other.
    for (Device& device : devices_)
        for (const std::string& file : device.replaced) {
            const std::string path = folder_("replaced.restand");
            write_bytes(path, file);
            const Store old = must(Store::open(path, Store::Mode::read), "open");
            merge(device, must(old.all(), "all"));
        }
    for (std::size_t i = 0; i + 1 < devices_.size(); ++i)
        merge(devices_[i + 1], lacking_in(devices_[i + 1], devices_[i]));
    for (std::size_t i = 0; i + 1 < devices_.size(); ++i)
        merge(devices_[i], lacking_in(devices_[i], devices_.back()));
}

// 1 every entry ever written is on every device, and nothing else; 2 every file is whole.
void World::compare() {
    const auto expected = by_id(written_);
    for (Device& device : devices_) {
        device.holds.reset();
        const auto held = by_id(holds(device));
        // Devices that agree say so, and only those.
        if ((ranges_of(held) == ranges_of(expected)) != (held == expected))
            violation(tally.differs, "holdings do not tell that entries differ");
        for (const Entry& e : expected)
            if (!std::binary_search(held.begin(), held.end(), e,
                                    [](const Entry& a, const Entry& b) { return a.id < b.id; }))
                violation(tally.lost, "an entry is missing in the end");
        if (held.size() > expected.size()) violation(tally.differs, "more entries than were written");
        if (held.size() == expected.size() && held != expected)
            violation(tally.differs, "an entry was changed");
        if (!must(device.store->check(), "check").whole) violation(tally.not_whole, "a file is not whole");
    }
}

// 3 commutative, associative, idempotent: three devices' sets in several groupings into fresh files.
void World::algebra() {
    const auto a = holds(devices_[0]), b = holds(devices_[1]), c = holds(devices_.back());
    Store left = begin(most_devices), right = begin(most_devices + 1), inner = begin(most_devices + 2);
    for (const auto* set : {&a, &b, &c}) merge(left, *set);
    for (const auto* set : {&c, &b}) merge(inner, *set);
    for (const auto& set : {must(inner.all(), "all"), a, c}) merge(right, set);
    if (by_id(must(left.all(), "all")) != by_id(must(right.all(), "all")))
        violation(tally.not_algebra, "(A+B)+C differs from (C+B)+A");
}

struct Folded {
    std::vector<Id> baselines, bikes, rivals, newest;
    friend bool operator==(const Folded&, const Folded&) = default;
};
Folded folded(const Ledger& ledger) {
    Folded all;
    for (const Bike* bike : ledger.bikes()) {
        all.bikes.push_back(bike->entry);
        for (const Id& id : bike->heads) all.rivals.push_back(id);
        for (const Baseline* baseline : ledger.baselines(bike->id)) all.baselines.push_back(baseline->id);
        if (const Baseline* newest = ledger.newest_baseline(bike->id)) all.newest.push_back(newest->id);
    }
    return all;
}

// 4 the same set folds to the same state, whatever order it came in; what the app opens with agrees.
void World::fold(const std::vector<Entry>& expected) {
    std::optional<Folded> first;
    for (Device& device : devices_) {
        auto entries = holds(device);
        std::shuffle(entries.begin(), entries.end(), random_);
        Ledger ledger, opened;
        read_into(ledger, entries);
        read_into(opened, must(device.store->opening(), "opening"));
        const Folded now = folded(ledger);
        if (!first) first = now;
        if (now != *first) violation(tally.folds_differently, "two devices show different baselines");
        if (folded(opened).newest != now.newest || folded(opened).bikes != now.bikes)
            violation(tally.folds_differently, "what is opened with differs from the whole");
        for (const Bike* bike : ledger.bikes()) tally.conflicts += bike->heads.size() > 1;
    }
    std::set<std::pair<std::uint64_t, std::uint64_t>> numbers;
    for (const Entry& e : expected) tally.forks += !numbers.insert({e.device, e.number}).second;
}

// 5 a device's clock never goes back, however its wall clock is set: what follows an entry is later.
void World::clocks(const std::vector<Entry>& entries) {
    std::map<Hash, Clock> at;
    for (const Entry& e : entries) at[e.hash] = e.clock;
    for (const Entry& e : entries) {
        const auto before = at.find(e.previous);
        if (before != at.end() && e.clock <= before->second) violation(tally.clock_back, "a clock went back");
    }
}

void World::history() {
    ++tally.histories;
    devices_.clear();
    written_.clear();
    now_ = march_2026;
    devices_.resize(2 + any(most_devices - 1));
    try {
        for (std::size_t i = 0; i < devices_.size(); ++i) devices_[i].store.emplace(begin(i, &devices_[i]));
        const std::size_t steps = 10 + any(30);
        for (std::size_t i = 0; i < steps; ++i) step();
        algebra();
        gossip();
        compare();
        fold(written_);
        clocks(written_);
    } catch (const std::exception& e) {
        violation(tally.failed, e.what());
    }
    tally.entries += written_.size();
}

void add(MergeTally& to, const MergeTally& more) {
    to.histories += more.histories, to.entries += more.entries, to.exchanges += more.exchanges;
    to.broken_off += more.broken_off, to.restores += more.restores, to.forks += more.forks;
    to.conflicts += more.conflicts, to.lost += more.lost, to.differs += more.differs;
    to.not_algebra += more.not_algebra, to.folds_differently += more.folds_differently;
    to.not_whole += more.not_whole, to.clock_back += more.clock_back, to.failed += more.failed;
    to.examples.insert(to.examples.end(), more.examples.begin(), more.examples.end());
}

}  // namespace

std::string MergeTally::text() const {
    std::ostringstream out;
    out << histories << " histories, " << entries << " entries, " << exchanges << " exchanges, " << broken_off
        << " broken off, " << restores << " restores, " << forks << " forks, " << conflicts << " conflicts; "
        << lost << " lost, " << differs << " differ, " << not_algebra << " not algebra, " << folds_differently
        << " fold differently, " << not_whole << " not whole, " << clock_back << " clocks back, " << failed
        << " failed";
    for (const std::string& one : examples) out << "\n  " << one;
    return out.str();
}

MergeTally merge_histories(std::uint64_t count, unsigned seed, MergeMutant mutant) {
    std::array<MergeTally, threads> tallies;
    const auto work = [&](unsigned worker) {
        World world(seed * threads + worker, mutant);
        for (std::uint64_t i = worker; i < count; i += threads) world.history();
        tallies[worker] = world.tally;
    };
    std::thread beside(work, 1);
    work(0);
    beside.join();
    MergeTally tally;
    for (const MergeTally& one : tallies) add(tally, one);
    return tally;
}

}  // namespace restand::test
