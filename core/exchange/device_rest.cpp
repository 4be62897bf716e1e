#include "core/exchange/device_rest.h"

#include <algorithm>
#include <charconv>
#include <cstdio>

#include "core/exchange/body_json.h"

namespace restand {
namespace {

struct Named {
    Id entry;
    std::uint64_t device = 0, follows = 0;
    DeviceBody body;
};

std::uint64_t from_hex(std::string_view text) {
    std::uint64_t v = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), v, 16);
    return error == std::errc() && end == text.data() + text.size() ? v : 0;
}

// Entries of kind "device" that nothing supersedes.
std::vector<Named> standing(std::span<const Entry> entries) {
    std::set<Id> gone;
    for (const Entry& entry : entries) gone.insert(entry.supersedes.begin(), entry.supersedes.end());
    std::vector<Named> all;
    for (const Entry& entry : entries) {
        if (entry.kind != "device" || gone.contains(entry.id)) continue;
        const auto fact = decode(entry);
        const auto* body = fact ? std::get_if<DeviceBody>(&fact->body) : nullptr;
        if (body) all.push_back({entry.id, from_hex(body->incarnation), from_hex(body->follows), *body});
    }
    return all;
}

bool rests(const std::vector<Named>& all, std::uint64_t device) {
    const auto of_it = [&](const Named& n) { return n.device == device; };
    return device != 0 && std::any_of(all.begin(), all.end(), of_it) &&
           std::all_of(all.begin(), all.end(),
                       [&](const Named& n) { return !of_it(n) || n.follows == device; });
}

NewEntry in_place_of(const std::vector<Named>& all, std::uint64_t device, const DeviceBody& body) {
    std::vector<Id> was;
    for (const Named& n : all)
        if (n.device == device) was.push_back(n.entry);
    return encode(body, {}, {}, {}, was);
}

}  // namespace

std::set<std::uint64_t> left_devices(std::span<const Entry> entries) {
    const auto all = standing(entries);
    std::set<std::uint64_t> left;
    for (const Named& n : all)
        if (n.follows != 0 && (n.follows != n.device || rests(all, n.device))) left.insert(n.follows);
    return left;
}

bool at_rest(std::span<const Entry> entries, std::uint64_t device) {
    return rests(standing(entries), device);
}

void leave_out(std::vector<Seen>& seen, std::span<const Entry> entries) {
    const auto left = left_devices(entries);
    std::erase_if(seen, [&](const Seen& s) { return left.contains(s.sender.device); });
}

NewEntry lay_to_rest(std::span<const Entry> entries, std::uint64_t device, const std::string& name) {
    char number[17];
    std::snprintf(number, sizeof number, "%016llx", static_cast<unsigned long long>(device));
    return in_place_of(standing(entries), device, {name, number, number});
}

std::optional<NewEntry> back_from_rest(std::span<const Entry> entries, std::uint64_t device) {
    const auto all = standing(entries);
    if (!rests(all, device)) return std::nullopt;
    const auto last =
        std::find_if(all.rbegin(), all.rend(), [&](const Named& n) { return n.device == device; });
    return in_place_of(all, device, {last->body.name, last->body.incarnation, ""});
}

}  // namespace restand
