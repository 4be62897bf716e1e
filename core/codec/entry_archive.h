#pragma once
// The archive format of entries, shared by bundles (codec/bundle.cpp) and sync bundles
// (sync/sync_bundle.cpp). Only these two files include it.

#include "core/codec/bounded_archive.h"
#include "core/ledger/version_ranges.h"
#include "core/quantity/progress.h"

namespace restand {

template <class Archive, std::size_t N>
void each_byte(Archive& archive, std::array<std::uint8_t, N>& array) {
    for (auto& byte : array) archive(byte);
}

// One entry in the archive. The version belongs to this struct; a reader refuses versions newer than its own.
struct Packed {
    static constexpr std::uint32_t newest = 1;
    Entry entry;

    template <class Archive>
    void serialize(Archive& archive, const std::uint32_t version) {
        if (version == 0 || version > newest)
            throw ArchiveFault("entry of version " + std::to_string(version));
        each_byte(archive, entry.id.bytes);
        archive(entry.device, entry.number, entry.clock.ms, entry.clock.counter);
        each_byte(archive, entry.previous);
        archive(entry.kind);
        each_byte(archive, entry.bike.bytes);
        each_byte(archive, entry.about.bytes);
        each_byte(archive, entry.by.bytes);
        auto count = static_cast<cereal::size_type>(entry.supersedes.size());
        archive(cereal::make_size_tag(count));
        for (cereal::size_type i = 0; i < count; ++i) {
            if (i == entry.supersedes.size())
                entry.supersedes.emplace_back();  // when reading: one by one, see unpack_entries()
            each_byte(archive, entry.supersedes[i].bytes);
        }
        archive(entry.body);
        each_byte(archive, entry.hash);
    }
};

}  // namespace restand

CEREAL_CLASS_VERSION(restand::Packed, restand::Packed::newest)

namespace restand {

inline void pack_entries(BoundedOut& archive, const std::vector<Entry>& entries) {
    archive(cereal::make_size_tag(static_cast<cereal::size_type>(entries.size())));
    for (const Entry& entry : entries) {
        Packed packed{entry};
        archive(packed);
    }
}

// The entries must end the payload. Throws ArchiveFault.
inline std::vector<Entry> unpack_entries(BoundedIn& archive) {
    cereal::size_type count = 0;
    archive(cereal::make_size_tag(count));
    // Append one by one, so that a false count allocates no memory before the bytes run out.
    std::vector<Entry> entries;
    for (cereal::size_type i = 0; i < count; ++i) {
        Packed packed;
        archive(packed);
        entries.push_back(std::move(packed.entry));
    }
    if (archive.left() != 0) throw ArchiveFault("bytes behind the last entry");
    return entries;
}

// Verifies the hash of every entry against its content. Errors: damaged (subject: the entry), cancelled.
Outcome verify_entries(const std::vector<Entry>& entries, Progress* progress);

}  // namespace restand
