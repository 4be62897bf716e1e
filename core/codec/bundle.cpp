#include "core/codec/bundle.h"

#include "core/codec/body_json.h"
#include "core/codec/entry_archive.h"

namespace restand {
namespace {

constexpr std::uint32_t bundle_version = 1;

}  // namespace

Outcome verify_entries(const std::vector<Entry>& entries, Progress* progress) {
    if (progress) progress->total += entries.size();
    for (const Entry& entry : entries) {
        if (progress && progress->cancelled) return Error{ErrorCode::cancelled, "", ""};
        const auto hash = hash_of(entry);
        if (!hash || *hash != entry.hash)
            return Error{ErrorCode::damaged, to_text(entry.id), "its hash differs from its content"};
        if (progress) ++progress->done;
    }
    return Done{};
}

std::string write_bundle(const std::vector<Entry>& entries) {
    std::string payload;
    BoundedOut archive(payload);
    pack_entries(archive, entries);
    return seal(bundle_kind, bundle_version, payload);
}

Result<std::vector<Entry>> read_bundle(std::string_view bytes) {
    const auto opened = open_envelope(bundle_kind, bundle_version, bundle_cap, bytes);
    if (!opened) return opened.error();
    std::vector<Entry> entries;
    // length_error and bad_alloc are not cereal exceptions.
    try {
        BoundedIn archive(opened->payload);
        entries = unpack_entries(archive);
    } catch (const std::exception& e) {
        return Error{ErrorCode::damaged, "file", e.what()};
    }
    if (const auto good = verify_entries(entries, nullptr); !good) return good.error();
    return entries;
}

}  // namespace restand
