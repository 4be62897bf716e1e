#include "core/sync/device_rest.h"

#include <algorithm>

#include "core/codec/body_json.h"
#include "core/ledger/device_hex.h"

namespace restand {
namespace {

bool rests(const std::vector<NamedDevice>& all, std::uint64_t device) {
    const auto of_it = [&](const NamedDevice& n) { return n.device == device; };
    return device != 0 && std::any_of(all.begin(), all.end(), of_it) &&
           std::all_of(all.begin(), all.end(),
                       [&](const NamedDevice& n) { return !of_it(n) || n.follows == device; });
}

NewEntry in_place_of(const std::vector<NamedDevice>& all, std::uint64_t device, const DeviceBody& body) {
    std::vector<Id> was;
    for (const NamedDevice& n : all)
        if (n.device == device) was.push_back(n.entry);
    return encode(body, {}, {}, {}, was);
}

}  // namespace

std::vector<NamedDevice> standing_devices(std::span<const Entry> entries) {
    std::set<Id> gone;
    for (const Entry& entry : entries) gone.insert(entry.supersedes.begin(), entry.supersedes.end());
    std::vector<NamedDevice> all;
    for (const Entry& entry : entries) {
        if (entry.kind != "device" || gone.contains(entry.id)) continue;
        const auto fact = decode(entry);
        const auto* body = fact ? std::get_if<DeviceBody>(&fact->body) : nullptr;
        if (body) all.push_back({entry.id, from_hex(body->incarnation), from_hex(body->follows), *body});
    }
    return all;
}

std::set<std::uint64_t> left_devices(std::span<const Entry> entries) {
    const auto all = standing_devices(entries);
    std::set<std::uint64_t> left;
    for (const NamedDevice& n : all)
        if (n.follows != 0 && (n.follows != n.device || rests(all, n.device))) left.insert(n.follows);
    return left;
}

bool at_rest(std::span<const Entry> entries, std::uint64_t device) {
    return rests(standing_devices(entries), device);
}

void leave_out(std::vector<Seen>& seen, std::span<const Entry> entries) {
    const auto left = left_devices(entries);
    std::erase_if(seen, [&](const Seen& s) { return left.contains(s.sender.device); });
}

NewEntry lay_to_rest(std::span<const Entry> entries, std::uint64_t device, const std::string& name) {
    return in_place_of(standing_devices(entries), device, {name, in_hex(device), in_hex(device)});
}

std::optional<NewEntry> back_from_rest(std::span<const Entry> entries, std::uint64_t device) {
    const auto all = standing_devices(entries);
    if (!rests(all, device)) return std::nullopt;
    const auto last =
        std::find_if(all.rbegin(), all.rend(), [&](const NamedDevice& n) { return n.device == device; });
    return in_place_of(all, device, {last->body.name, last->body.incarnation, ""});
}

}  // namespace restand
