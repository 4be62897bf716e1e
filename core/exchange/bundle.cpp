#include "core/exchange/bundle.h"

#include "core/exchange/body_json.h"
#include "core/exchange/bounded_archive.h"

namespace restand {

// One entry as it travels. The version counts this struct; a reader refuses what is newer than it knows.
struct Packed {
    static constexpr std::uint32_t newest = 1;
    Entry entry;

    template <class Archive>
    void serialize(Archive& archive, const std::uint32_t version) {
        if (version == 0 || version > newest)
            throw ArchiveFault("entry of version " + std::to_string(version));
        bytes(archive, entry.id.bytes);
        archive(entry.device, entry.number, entry.clock.ms, entry.clock.counter);
        bytes(archive, entry.previous);
        archive(entry.kind);
        bytes(archive, entry.bike.bytes);
        bytes(archive, entry.about.bytes);
        bytes(archive, entry.by.bytes);
        auto count = static_cast<cereal::size_type>(entry.supersedes.size());
        archive(cereal::make_size_tag(count));
        for (cereal::size_type i = 0; i < count; ++i) {
            if (i == entry.supersedes.size())
                entry.supersedes.emplace_back();  // reading: one by one, see unpack()
            bytes(archive, entry.supersedes[i].bytes);
        }
        archive(entry.body);
        bytes(archive, entry.hash);
    }

private:
    template <class Archive, std::size_t N>
    static void bytes(Archive& archive, std::array<std::uint8_t, N>& array) {
        for (auto& byte : array) archive(byte);
    }
};

}  // namespace restand

CEREAL_CLASS_VERSION(restand::Packed, restand::Packed::newest)

namespace restand {
namespace {

constexpr std::string_view bundle_kind = "BNDL";
constexpr std::uint32_t bundle_version = 1;

std::vector<Entry> unpack(std::string_view payload) {
    BoundedIn archive(payload);
    cereal::size_type count = 0;
    archive(cereal::make_size_tag(count));
    // One by one: a false count then costs no memory before the bytes run out.
    std::vector<Entry> entries;
    for (cereal::size_type i = 0; i < count; ++i) {
        Packed packed;
        archive(packed);
        entries.push_back(std::move(packed.entry));
    }
    if (archive.left() != 0) throw ArchiveFault("bytes behind the last entry");
    return entries;
}

}  // namespace

std::string write_bundle(const std::vector<Entry>& entries) {
    std::string payload;
    BoundedOut archive(payload);
    archive(cereal::make_size_tag(static_cast<cereal::size_type>(entries.size())));
    for (const Entry& entry : entries) {
        Packed packed{entry};
        archive(packed);
    }
    return seal(bundle_kind, bundle_version, payload);
}

Result<std::vector<Entry>> read_bundle(std::string_view bytes) {
    const auto opened = open_envelope(bundle_kind, bundle_version, bundle_cap, bytes);
    if (!opened) return opened.error();
    std::vector<Entry> entries;
    // length_error and bad_alloc are no exceptions of cereal's.
    try {
        entries = unpack(opened->payload);
    } catch (const std::exception& e) {
        return Error{ErrorCode::damaged, "file", e.what()};
    }
    for (const Entry& entry : entries) {
        const auto hash = hash_of(entry);
        if (!hash || *hash != entry.hash)
            return Error{ErrorCode::damaged, to_text(entry.id), "its hash differs from its content"};
    }
    return entries;
}

}  // namespace restand
