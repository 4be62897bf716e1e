#include "platform/copy_results.h"

#include "app/views/season_wording.h"

namespace restand {

Result<TaskResult> listed_copies(const CopiesOf& of, bool whole, std::string said, Progress* progress) {
    const auto made = backups(of.places.copies, of.places.workshop, of.device, whole, progress);
    if (!made) return made.error();
    task_result::Copies n{{}, std::move(said)};
    for (const Backup& b : *made)
        n.copies.push_back({b.path, b.at_ms, b.entries, b.good, b.of_damaged,
                            of.legible && b.device != 0 && b.device != of.device});
    return TaskResult{std::move(n)};
}

Result<std::vector<Backup>> own_copies(const CopiesOf& of, Progress* progress) {
    auto there = backups(of.places.copies, of.places.workshop, of.device, false, progress);
    if (there) std::erase_if(*there, [&](const Backup& b) { return b.device != of.device; });
    return there;
}

std::string copy_trouble(const Result<Backup>& made) {
    if (!made)
        return "No copy could be made: " + wording::file_sentence(made.error()) +
               " The workshop itself is stored. Mend that, then make a copy under 'Devices and copies'.";
    if (made->of_damaged)
        return "This workshop has damage: the copy just made holds what can be read and is marked. Good "
               "copies "
               "stay. Check the file, or go back to a good copy under 'Devices and copies'.";
    return "";
}

}  // namespace restand
