#include "platform/aside.h"

#include <algorithm>
#include <filesystem>

#include "core/exchange/body_json.h"
#include "core/store/emergency.h"

namespace restand {

namespace {
namespace fs = std::filesystem;

// Full, failing, pulled out, or made read-only since it was opened.
bool refused_by_disk(ErrorCode code) {
    return code == ErrorCode::io || code == ErrorCode::read_only || code == ErrorCode::not_found;
}

bool same_thing(const NewEntry& a, const NewEntry& b) {
    return a.kind == b.kind && a.bike == b.bike && a.about == b.about;
}
bool same_words(const NewEntry& a, const NewEntry& b) {
    return same_thing(a, b) && a.body == b.body && a.supersedes == b.supersedes;
}

bool takes_the_place_of(const NewEntry& kept, const NewEntry& taken) {
    if (!same_thing(kept, taken)) return false;
    if (kept.body == taken.body) return true;
    const auto one = body_from_json(kept.kind, kept.body), other = body_from_json(taken.kind, taken.body);
    if (!one || !other) return false;
    const auto *a = std::get_if<ReadingBody>(&*one), *b = std::get_if<ReadingBody>(&*other);
    return a && b && a->phase == b->phase && a->reading.point == b->reading.point;
}

// What cannot be forgotten now is offered once more than needed: no harm.
void forget_taken(const std::vector<NewEntry>& taken, const std::string& folder) {
    auto aside = read_aside(folder);
    if (!aside || aside->entries.empty()) return;
    const auto end = std::remove_if(aside->entries.begin(), aside->entries.end(), [&](const NewEntry& kept) {
        return std::any_of(taken.begin(), taken.end(),
                           [&](const NewEntry& e) { return takes_the_place_of(kept, e); });
    });
    if (end == aside->entries.end()) return;
    aside->entries.erase(end, aside->entries.end());
    (void)rewrite_aside(folder, aside->entries);
}
}  // namespace

Result<std::vector<Entry>> append_or_set_aside(Store& store, const std::vector<NewEntry>& entries,
                                               const std::string& folder) {
    auto written = store.append_all(entries);
    if (written) return forget_taken(entries, folder), std::move(written);
    Error error = written.error();
    if (!refused_by_disk(error.code)) return error;
    std::error_code ignored;
    fs::create_directories(folder, ignored);
    // Refused again while it is taken in, an entry is not kept twice.
    const auto before = read_aside(folder);
    const auto kept_already = [&](const NewEntry& entry) {
        return before && std::any_of(before->entries.begin(), before->entries.end(),
                                     [&](const NewEntry& kept) { return same_words(kept, entry); });
    };
    for (const NewEntry& entry : entries) {
        if (kept_already(entry)) continue;
        if (const auto kept = keep_aside(folder, entry); !kept) {
            error.detail += "; nor could it be kept aside: " + kept.error().detail;
            return error;
        }
    }
    error.detail += "; kept aside in " + folder;
    return error;
}

}  // namespace restand
