#include "platform/rejected.h"

#include <algorithm>
#include <filesystem>

#include "core/codec/body_json.h"
#include "core/store/emergency.h"
#include "core/store/thrown.h"

namespace restand {

namespace {
namespace fs = std::filesystem;

// The disk is full, failing, pulled out, made read-only since it was opened, locked by another program, or
// damaged: the next try may succeed. An entry that is itself wrong is not kept.
bool refused_by_disk(ErrorCode code) {
    using enum ErrorCode;
    return code == io || code == read_only || code == not_found || code == in_use || code == damaged;
}

bool same_thing(const NewEntry& a, const NewEntry& b) {
    return a.kind == b.kind && a.bike == b.bike && a.about == b.about;
}
bool same_words(const NewEntry& a, const NewEntry& b) {
    return same_thing(a, b) && a.body == b.body && a.supersedes == b.supersedes;
}

// An entry that cannot be removed now is offered once more than needed: no harm.
void forget_written(const std::vector<NewEntry>& written, const std::string& folder) {
    (void)forget_rejected(folder, [&](const RejectedEntry& kept) {
        return std::any_of(written.begin(), written.end(),
                           [&](const NewEntry& e) { return takes_the_place_of(e, kept.entry); });
    });
}
}  // namespace

Result<std::vector<Entry>> append_or_keep_rejected(Store& store, const std::vector<NewEntry>& entries,
                                                   const std::string& folder, std::int64_t now_ms) {
    // Entries are also kept after an exception. If it comes after the commit, where that is not known, the
    // entry may be offered once more.
    Result<std::vector<Entry>> written = std::vector<Entry>{};
    if (const auto thrown = thrown_by(store.path(), [&] { written = store.append_all(entries); })) {
        store.close_after_exception();
        written = *thrown;
    }
    if (written) return forget_written(entries, folder), std::move(written);
    Error error = written.error();
    if (!refused_by_disk(error.code)) return error;
    std::error_code ignored;
    fs::create_directories(folder, ignored);
    // An entry that is refused again while it is taken in is not kept twice.
    const auto before = read_rejected(folder);
    const auto kept_already = [&](const NewEntry& entry) {
        return before &&
               std::any_of(before->entries.begin(), before->entries.end(),
                           [&](const RejectedEntry& kept) { return same_words(kept.entry, entry); });
    };
    for (const NewEntry& entry : entries) {
        if (kept_already(entry)) continue;
        if (const auto kept = keep_rejected(folder, entry, now_ms); !kept) {
            error.detail += "; nor could it be kept aside: " + kept.error().detail;
            return error;
        }
    }
    error.detail += "; kept aside in " + folder;
    return error;
}

}  // namespace restand
