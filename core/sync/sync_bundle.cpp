#include "core/sync/sync_bundle.h"

#include <algorithm>
#include <limits>
#include <tuple>

#include "core/codec/bundle.h"
#include "core/codec/entry_archive.h"

namespace restand {
namespace {

constexpr std::uint32_t sync_bundle_version = 2;
constexpr std::uint32_t head_version = 1;  // of the fields before the entries
constexpr std::size_t name_cap = 256;      // bytes
constexpr auto largest_number = static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max());

void pack(BoundedOut& archive, const VersionRanges& ranges) {
    archive(cereal::make_size_tag(static_cast<cereal::size_type>(ranges.size())));
    for (const auto& [device, range] : ranges) {
        archive(device);
        archive(cereal::make_size_tag(static_cast<cereal::size_type>(range.numbers.size())));
        for (const NumberRange& number_range : range.numbers) archive(number_range.first, number_range.last);
        archive(range.count);
        Hash sum = range.sum;
        each_byte(archive, sum);
    }
}

// Checks that ranges are ascending with gaps between them (version_ranges.h): all code with ranges relies on
// it. Counts of numbers then fit into 63 bits.
VersionRange unpack_range(BoundedIn& archive) {
    VersionRange range;
    cereal::size_type number_ranges = 0;
    archive(cereal::make_size_tag(number_ranges));
    std::uint64_t before = 0, numbers = 0;
    for (cereal::size_type i = 0; i < number_ranges; ++i) {
        NumberRange number_range;
        archive(number_range.first, number_range.last);
        const bool apart = i == 0 ? number_range.first > 0 : number_range.first > before + 1;
        if (!apart || number_range.last < number_range.first || number_range.last > largest_number)
            throw ArchiveFault("ranges of numbers out of order");
        before = number_range.last;
        numbers += number_range.last - number_range.first + 1;
        range.numbers.push_back(number_range);
    }
    archive(range.count);
    if (range.count < numbers || range.count > largest_number)
        throw ArchiveFault("another count than numbers");
    each_byte(archive, range.sum);
    return range;
}

VersionRanges unpack_ranges(BoundedIn& archive) {
    VersionRanges ranges;
    cereal::size_type devices = 0;
    archive(cereal::make_size_tag(devices));
    for (cereal::size_type i = 0; i < devices; ++i) {
        std::uint64_t device = 0;
        archive(device);
        if (!ranges.empty() && device <= ranges.rbegin()->first) throw ArchiveFault("devices out of order");
        ranges.emplace_hint(ranges.end(), device, unpack_range(archive));
    }
    return ranges;
}

// Sorted first: otherwise a file with descending numbers takes quadratic time.
VersionRanges sorted_ranges(const std::vector<Entry>& entries) {
    std::vector<const Entry*> sorted;
    for (const Entry& entry : entries) sorted.push_back(&entry);
    std::sort(sorted.begin(), sorted.end(), [](const Entry* a, const Entry* b) {
        return std::tie(a->device, a->number) < std::tie(b->device, b->number);
    });
    VersionRanges ranges;
    for (const Entry* entry : sorted) add(ranges, entry->device, entry->number, entry->hash);
    return ranges;
}

SyncBundle unpack(std::uint32_t version, std::string_view payload) {
    BoundedIn archive(payload);
    SyncBundle sync_bundle;
    if (version == 1) {
        sync_bundle.entries = unpack_entries(archive);
        return sync_bundle;
    }
    std::uint32_t head = 0;
    archive(head);
    if (head != head_version) throw ArchiveFault("head of version " + std::to_string(head));
    archive(sync_bundle.sender.device, sync_bundle.sender.name, sync_bundle.sender.at_ms);
    if (sync_bundle.sender.name.size() > name_cap) throw ArchiveFault("a device's name of over 256 bytes");
    sync_bundle.sender.holds = unpack_ranges(archive);
    const VersionRanges inside = unpack_ranges(archive);
    sync_bundle.entries = unpack_entries(archive);
    for (const Entry& entry : sync_bundle.entries)
        if (entry.number == 0 || entry.number > largest_number) throw ArchiveFault("an entry's number");
    if (inside != sorted_ranges(sync_bundle.entries)) throw ArchiveFault("other entries than it says");
    return sync_bundle;
}

}  // namespace

std::string write_sync_bundle(const SyncBundle& sync_bundle) {
    std::string payload;
    BoundedOut archive(payload);
    std::string name = sync_bundle.sender.name.substr(0, name_cap);
    // Do not cut inside a character: the name must stay valid UTF-8.
    if (name.size() < sync_bundle.sender.name.size())
        while (!name.empty() &&
               (static_cast<unsigned char>(sync_bundle.sender.name[name.size()]) & 0xC0u) == 0x80u)
            name.pop_back();
    archive(head_version, sync_bundle.sender.device, name, sync_bundle.sender.at_ms);
    pack(archive, sync_bundle.sender.holds);
    pack(archive, ranges_of(sync_bundle.entries));
    pack_entries(archive, sync_bundle.entries);
    return seal(bundle_kind, sync_bundle_version, payload);
}

Result<SyncBundle> read_sync_bundle(std::string_view bytes, Progress* progress, Verified verified) {
    const auto opened = open_envelope(bundle_kind, sync_bundle_version, bundle_cap, bytes);
    if (!opened) return opened.error();
    SyncBundle sync_bundle;
    // std::exception, because length_error and bad_alloc are not exceptions of cereal.
    try {
        sync_bundle = unpack(opened->version, opened->payload);
    } catch (const std::exception& e) {
        return Error{ErrorCode::damaged, "file", e.what()};
    }
    if (verified == Verified::by_merge) return sync_bundle;
    if (const auto good = verify_entries(sync_bundle.entries, progress); !good) return good.error();
    return sync_bundle;
}

}  // namespace restand
