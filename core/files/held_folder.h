#pragma once
// A folder that was opened once. What is written and removed in it stays in it: names are taken relative to the
// open folder, and no link is followed, so that a link planted in a shared folder leads nowhere.

#include <memory>
#include <string>
#include <string_view>

#include "core/quantity/result.h"

namespace restand {

// Who may read a written file: the person alone, or whoever the folder is shared with.
enum class Readers { person, everybody };

// A link stands in a folder's place: it would lead out of the folder that was chosen.
Error linked_folder(const std::string& path);

// Errors of all: not_found, read_only, io; subject = the path, and wrong_type where a link stands in a folder's place.
class HeldFolder {
public:
    // The person's own choice: links on the way to it are followed.
    static Result<HeldFolder> open(const std::string& path);
    // The folder `name` in it, made when it is not there. A link is refused.
    Result<HeldFolder> inside(const std::string& name) const;

    // Written beside under a name that nobody can foresee, synced, renamed over `name`, folder synced.
    Outcome write(const std::string& name, std::string_view bytes, Readers readers) const;
    void remove(const std::string& name) const;  // a link goes, what it leads to stays
    const std::string& path() const { return path_; }

private:
    HeldFolder(int fd, std::string path);
    std::string path_of(const std::string& name) const;
    std::shared_ptr<const int> fd_;  // closed with the last copy
    std::string path_;
};

}  // namespace restand
