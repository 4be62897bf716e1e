#include "core/exchange/parcel.h"

#include <algorithm>
#include <limits>
#include <tuple>

#include "core/exchange/bundle.h"
#include "core/exchange/parcel_archive.h"

namespace restand {
namespace {

constexpr std::string_view bundle_kind = "BNDL";
constexpr std::uint32_t parcel_version = 2;
constexpr std::uint32_t head_version = 1;  // counts what stands before the entries
constexpr std::size_t name_cap = 256;      // bytes
constexpr auto largest_number = static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max());

void pack(BoundedOut& archive, const Holdings& holdings) {
    archive(cereal::make_size_tag(static_cast<cereal::size_type>(holdings.size())));
    for (const auto& [device, holding] : holdings) {
        archive(device);
        archive(cereal::make_size_tag(static_cast<cereal::size_type>(holding.numbers.size())));
        for (const NumberRange& range : holding.numbers) archive(range.first, range.last);
        archive(holding.count);
        Hash sum = holding.sum;
        each_byte(archive, sum);
    }
}

// Ascending and apart, as holdings.h says: what computes with ranges relies on it. Counts of numbers then fit
// into 63 bits.
Holding unpack_holding(BoundedIn& archive) {
    Holding holding;
    cereal::size_type ranges = 0;
    archive(cereal::make_size_tag(ranges));
    std::uint64_t before = 0, numbers = 0;
    for (cereal::size_type i = 0; i < ranges; ++i) {
        NumberRange range;
        archive(range.first, range.last);
        const bool apart = i == 0 ? range.first > 0 : range.first > before + 1;
        if (!apart || range.last < range.first || range.last > largest_number)
            throw ArchiveFault("ranges of numbers out of order");
        before = range.last;
        numbers += range.last - range.first + 1;
        holding.numbers.push_back(range);
    }
    archive(holding.count);
    if (holding.count < numbers || holding.count > largest_number)
        throw ArchiveFault("another count than numbers");
    each_byte(archive, holding.sum);
    return holding;
}

Holdings unpack_holdings(BoundedIn& archive) {
    Holdings holdings;
    cereal::size_type devices = 0;
    archive(cereal::make_size_tag(devices));
    for (cereal::size_type i = 0; i < devices; ++i) {
        std::uint64_t device = 0;
        archive(device);
        if (!holdings.empty() && device <= holdings.rbegin()->first)
            throw ArchiveFault("devices out of order");
        holdings.emplace_hint(holdings.end(), device, unpack_holding(archive));
    }
    return holdings;
}

// In order, or a file with its numbers backwards would take time by the square of its length.
Holdings sorted_holdings(const std::vector<Entry>& entries) {
    std::vector<const Entry*> sorted;
    for (const Entry& entry : entries) sorted.push_back(&entry);
    std::sort(sorted.begin(), sorted.end(), [](const Entry* a, const Entry* b) {
        return std::tie(a->device, a->number) < std::tie(b->device, b->number);
    });
    Holdings holdings;
    for (const Entry* entry : sorted) add(holdings, entry->device, entry->number, entry->hash);
    return holdings;
}

Parcel unpack(std::uint32_t version, std::string_view payload) {
    BoundedIn archive(payload);
    Parcel parcel;
    if (version == 1) {
        parcel.entries = unpack_entries(archive);
        return parcel;
    }
    std::uint32_t head = 0;
    archive(head);
    if (head != head_version) throw ArchiveFault("head of version " + std::to_string(head));
    archive(parcel.sender.device, parcel.sender.name, parcel.sender.at_ms);
    if (parcel.sender.name.size() > name_cap) throw ArchiveFault("a device's name of over 256 bytes");
    parcel.sender.holds = unpack_holdings(archive);
    const Holdings inside = unpack_holdings(archive);
    parcel.entries = unpack_entries(archive);
    for (const Entry& entry : parcel.entries)
        if (entry.number == 0 || entry.number > largest_number) throw ArchiveFault("an entry's number");
    if (inside != sorted_holdings(parcel.entries)) throw ArchiveFault("other entries than it says");
    return parcel;
}

}  // namespace

std::string write_parcel(const Parcel& parcel) {
    std::string payload;
    BoundedOut archive(payload);
    std::string name = parcel.sender.name.substr(0, name_cap);
    // Not in the middle of a character: a lone continuation byte is no UTF-8 any more.
    if (name.size() < parcel.sender.name.size())
        while (!name.empty() &&
               (static_cast<unsigned char>(parcel.sender.name[name.size()]) & 0xC0u) == 0x80u)
            name.pop_back();
    archive(head_version, parcel.sender.device, name, parcel.sender.at_ms);
    pack(archive, parcel.sender.holds);
    pack(archive, holdings_of(parcel.entries));
    pack_entries(archive, parcel.entries);
    return seal(bundle_kind, parcel_version, payload);
}

Result<Parcel> read_parcel(std::string_view bytes, Progress* progress) {
    const auto opened = open_envelope(bundle_kind, parcel_version, bundle_cap, bytes);
    if (!opened) return opened.error();
    Parcel parcel;
    // length_error and bad_alloc are no exceptions of cereal's.
    try {
        parcel = unpack(opened->version, opened->payload);
    } catch (const std::exception& e) {
        return Error{ErrorCode::damaged, "file", e.what()};
    }
    if (const auto good = verify_entries(parcel.entries, progress); !good) return good.error();
    return parcel;
}

}  // namespace restand
