#include "platform/terminal/devices.h"

#include <unistd.h>

#include <charconv>
#include <cstdio>
#include <set>

#include "core/exchange/body_json.h"
#include "core/exchange/device_rest.h"
#include "core/exchange/list_json.h"
#include "platform/terminal/workshop.h"

namespace restand {
namespace {

std::uint64_t from_hex(std::string_view text) {
    std::uint64_t v = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), v, 16);
    return error == std::errc() && end == text.data() + text.size() ? v : 0;
}

// How many numbers are missing between a device's first and its last.
std::uint64_t gaps_of(const Holding& holding) {
    std::uint64_t gaps = 0, before = 0;
    for (const NumberRange& range : holding.numbers) {
        gaps += range.first - before - 1;
        before = range.last;
    }
    return gaps;
}

std::string count_text(std::uint64_t count) {
    return std::to_string(count) + (count == 1 ? " entry" : " entries");
}

}  // namespace

std::string in_hex(std::uint64_t incarnation) {
    char text[17];
    std::snprintf(text, sizeof text, "%016llx", static_cast<unsigned long long>(incarnation));
    return text;
}

std::string host_name() {
    char name[256] = {};
    if (::gethostname(name, sizeof name - 1) != 0 || name[0] == '\0') return "this device";
    return name;
}

Result<std::map<std::uint64_t, NamedDevice>> named_devices(const Store& store) {
    auto entries = store.opening();
    if (!entries) return entries.error();
    std::erase_if(*entries, [](const Entry& entry) { return entry.kind != "device"; });
    std::set<Id> gone;
    for (const Entry& entry : *entries) gone.insert(entry.supersedes.begin(), entry.supersedes.end());
    std::map<std::uint64_t, NamedDevice> devices;
    for (const Entry& entry : *entries) {
        const auto fact = decode(entry);
        const auto* body = fact ? std::get_if<DeviceBody>(&fact->body) : nullptr;
        const std::uint64_t incarnation = body ? from_hex(body->incarnation) : 0;
        if (incarnation == 0 || gone.contains(entry.id)) continue;
        devices[incarnation] = {incarnation, body->name, from_hex(body->follows), entry.id};
    }
    return devices;
}

std::string device_name(const std::map<std::uint64_t, NamedDevice>& devices, std::uint64_t incarnation) {
    const auto found = devices.find(incarnation);
    return found == devices.end() ? "device " + in_hex(incarnation) : found->second.name;
}

Result<Sender> sender_of(const Store& store) {
    const auto devices = named_devices(store);
    if (!devices) return devices.error();
    auto holds = store.holdings();
    if (!holds) return holds.error();
    const auto own = devices->find(store.device());
    const std::string name = own == devices->end() ? host_name() : own->second.name;
    return Sender{store.device(), name, wall_ms(), std::move(*holds)};
}

Outcome name_device(Store& store, const std::string& name, std::uint64_t follows) {
    const auto devices = named_devices(store);
    if (!devices) return devices.error();
    if (devices->contains(store.device())) return come_back(store);
    const DeviceBody body{name, in_hex(store.device()), follows ? in_hex(follows) : ""};
    const auto written = store.append(encode(body));
    if (!written) return written.error();
    return Done{};
}

Outcome come_back(Store& store) {
    const auto known = store.opening();
    if (!known) return known.error();
    const auto back = back_from_rest(*known, store.device());
    if (!back) return Done{};
    const auto written = store.append(*back);
    if (!written) return written.error();
    return Done{};
}

namespace {

// By its name, or by the start of its number; a whole number may be one that is known of a place only.
Result<std::uint64_t> device_called(std::string_view word, const std::map<std::uint64_t, NamedDevice>& named,
                                    const Holdings& holds) {
    std::set<std::uint64_t> all, found;
    for (const auto& [device, holding] : holds) all.insert(device);
    for (const auto& [device, known] : named) {
        all.insert(device);
        if (known.name == word) found.insert(device);
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
    const auto named = named_devices(*store);
    if (!named) return complain(err, as_shown(named.error(), *at));
    const auto holds = store->holdings();
    if (!holds) return complain(err, as_shown(holds.error(), *at));
    const auto known = store->opening();
    if (!known) return complain(err, as_shown(known.error(), *at));
    const auto device = device_called(request.operands.front(), *named, *holds);
    if (!device) return complain(err, device.error());
    const std::string name = device_name(*named, *device),
                      shown = plain_line(name) + " (" + in_hex(*device) + ")";
    if (*device == store->device())
        return complain(err, {ErrorCode::contradiction, shown, "; it is this device, which takes part now"});
    if (at_rest(*known, *device)) return out << shown << " is laid to rest already\n", exit_done;
    const auto written = store->append(lay_to_rest(*known, *device, name));
    if (!written) return complain(err, as_shown(written.error(), *at));
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
    const auto named = named_devices(*store);
    if (!named) return complain(err, as_shown(named.error(), *at));
    const auto holds = store->holdings();
    if (!holds) return complain(err, as_shown(holds.error(), *at));

    const auto known = store->opening();
    if (!known) return complain(err, as_shown(known.error(), *at));
    const std::set<std::uint64_t> left = left_devices(*known);
    std::set<std::uint64_t> all{store->device()};
    for (const auto& [incarnation, device] : *named) all.insert(incarnation);
    for (const auto& [incarnation, holding] : *holds) all.insert(incarnation);
    for (const std::uint64_t incarnation : all) {
        const auto held = holds->find(incarnation);
        const Holding holding = held == holds->end() ? Holding{} : held->second;
        const auto found = named->find(incarnation);
        out << padded(found == named->end() ? "no name yet" : plain_line(found->second.name), 24)
            << padded(in_hex(incarnation), 18) << padded(count_text(holding.count), 16)
            << (incarnation == store->device() ? "this device" : "")
            << (!left.contains(incarnation)    ? ""
                : at_rest(*known, incarnation) ? "laid to rest"
                                               : "before a restore");
        if (const std::uint64_t gaps = gaps_of(holding)) out << ", " << count_text(gaps) << " missing here";
        out << "\n";
    }
    return exit_done;
}

}  // namespace restand
