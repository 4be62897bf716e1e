#include "platform/terminal/devices.h"

#include <set>

#include "core/codec/body_json.h"
#include "core/sync/device_rest.h"
#include "platform/system.h"
#include "platform/terminal/list_json.h"
#include "platform/terminal/workshop.h"

namespace restand {
namespace {

// How many numbers are missing between a device's first and its last.
std::uint64_t gaps_of(const VersionRange& range) {
    std::uint64_t gaps = 0, before = 0;
    for (const NumberRange& number_range : range.numbers) {
        gaps += number_range.first - before - 1;
        before = number_range.last;
    }
    return gaps;
}

std::string count_text(std::uint64_t count) {
    return std::to_string(count) + (count == 1 ? " entry" : " entries");
}

}  // namespace

DeviceNames device_names(std::span<const Entry> opening) {
    DeviceNames names;
    for (const NamedDevice& one : standing_devices(opening))
        if (one.device != 0) names[one.device] = one.body.name;
    return names;
}

std::string device_name(const DeviceNames& devices, std::uint64_t incarnation) {
    const auto found = devices.find(incarnation);
    return found == devices.end() ? "device " + in_hex(incarnation) : found->second;
}

namespace {

// What a workshop knows about devices.
struct Known {
    std::vector<Entry> opening;
    DeviceNames names;
    VersionRanges holds;
};
Result<Known> known_of(const Store& store) {
    auto opening = store.opening();
    if (!opening) return opening.error();
    auto holds = store.ranges();
    if (!holds) return holds.error();
    DeviceNames names = device_names(*opening);
    return Known{std::move(*opening), std::move(names), std::move(*holds)};
}

Outcome written(Store& store, const NewEntry& entry) {
    const auto appended = store.append(entry);
    return appended ? Outcome(Done{}) : Outcome(appended.error());
}

}  // namespace

Result<Sender> sender_of(const Store& store) {
    auto known = known_of(store);
    if (!known) return known.error();
    const auto own = known->names.find(store.device());
    const std::string name = own == known->names.end() ? host_name() : own->second;
    return Sender{store.device(), name, wall_ms(), std::move(known->holds)};
}

Outcome name_device(Store& store, const std::string& name, std::uint64_t follows) {
    const auto opening = store.opening();
    if (!opening) return opening.error();
    if (!device_names(*opening).contains(store.device()))
        return written(store,
                       encode(DeviceBody{name, in_hex(store.device()), follows ? in_hex(follows) : ""}));
    const auto back = back_from_rest(*opening, store.device());
    return back ? written(store, *back) : Outcome(Done{});
}

Outcome come_back(Store& store) {
    const auto known = store.opening();
    if (!known) return known.error();
    const auto back = back_from_rest(*known, store.device());
    return back ? written(store, *back) : Outcome(Done{});
}

namespace {

// Finds a device by its name or by the start of its number; a whole number may also be one known only from a
// place.
Result<std::uint64_t> device_called(std::string_view word, const Known& known) {
    std::set<std::uint64_t> all, found;
    for (const auto& [device, range] : known.holds) all.insert(device);
    for (const auto& [device, name] : known.names) {
        all.insert(device);
        if (name == word) found.insert(device);
    }
    for (const std::uint64_t device : all)
        if (in_hex(device).starts_with(word)) found.insert(device);
    if (found.empty() && word.size() == 16 && from_hex(word) != 0) found.insert(from_hex(word));
    const std::string subject = "device '" + std::string(word) + "'";
    if (found.empty()) return Error{ErrorCode::not_found, subject, "restand devices lists them"};
    if (found.size() == 1) return *found.begin();
    std::string numbers;
    for (const std::uint64_t device : found) numbers += (numbers.empty() ? "" : ", ") + in_hex(device);
    return Error{ErrorCode::contradiction, subject, "; several are called so, say which number: " + numbers};
}

}  // namespace

int retire(const Request& request, std::ostream& out, std::ostream& err) {
    const Result<WorkshopPath> at = workshop_path(request.workshop);
    if (!at) return complain(err, at.error());
    Result<Store> store = open_to_write(*at, Store::Mode::write, err);
    if (!store) return complain(err, store.error());
    const auto known = known_of(*store);
    if (!known) return complain(err, as_shown(known.error(), *at));
    const auto device = device_called(request.operands.front(), *known);
    if (!device) return complain(err, device.error());
    const std::string name = device_name(known->names, *device),
                      shown = plain_line(name) + " (" + in_hex(*device) + ")";
    if (*device == store->device())
        return complain(err, {ErrorCode::contradiction, shown, "; it is this device, which takes part now"});
    if (at_rest(known->opening, *device)) return out << shown << " is laid to rest already\n", exit_done;
    if (const auto rests = written(*store, lay_to_rest(known->opening, *device, name)); !rests)
        return complain(err, as_shown(rests.error(), *at));
    out << shown
        << " is laid to rest: it is no longer listed as lacking anything. Its entries stay; if it takes part "
           "again, it is listed again\n";
    return exit_done;
}

int devices(const Request& request, std::ostream& out, std::ostream& err) {
    const Result<WorkshopPath> at = workshop_path(request.workshop);
    if (!at) return complain(err, at.error());
    const Result<Store> store = Store::open(at->path, Store::Mode::read);
    if (!store) return complain(err, as_shown(store.error(), *at));
    const auto known = known_of(*store);
    if (!known) return complain(err, as_shown(known.error(), *at));

    const std::set<std::uint64_t> left = left_devices(known->opening);
    std::set<std::uint64_t> all{store->device()};
    for (const auto& [incarnation, name] : known->names) all.insert(incarnation);
    for (const auto& [incarnation, range] : known->holds) all.insert(incarnation);
    for (const std::uint64_t incarnation : all) {
        const auto held = known->holds.find(incarnation);
        const VersionRange range = held == known->holds.end() ? VersionRange{} : held->second;
        const auto found = known->names.find(incarnation);
        out << padded(found == known->names.end() ? "no name yet" : plain_line(found->second), 24)
            << padded(in_hex(incarnation), 18) << padded(count_text(range.count), 16)
            << (incarnation == store->device() ? "this device" : "")
            << (!left.contains(incarnation)            ? ""
                : at_rest(known->opening, incarnation) ? "laid to rest"
                                                       : "before a restore");
        if (const std::uint64_t gaps = gaps_of(range)) out << ", " << count_text(gaps) << " missing here";
        out << "\n";
    }
    return exit_done;
}

}  // namespace restand
