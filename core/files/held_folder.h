#pragma once
// A folder that is opened once. Writes and removals stay inside it: names are relative to the open folder and
// no link is followed, so that a link planted in a shared folder has no effect.

#include <memory>
#include <string>
#include <string_view>

#include "core/files/open_file.h"
#include "core/quantity/result.h"

namespace restand {

// Who may read a written file: only the user, or everybody who shares the folder.
enum class Readers { person, everybody };

// NAME.0123456789abcdef.part
std::string unguessable_beside(const std::string& name);

// The error for a link in place of a folder: it would lead out of the chosen folder.
Error linked_folder(const std::string& path);

// Errors of all: not_found, read_only, io, and wrong_type if there is a link in place of a folder; subject =
// the path.
class HeldFolder {
public:
    // Links in `path` are followed, because the user chose it.
    static Result<HeldFolder> open(const std::string& path);
    // The folder `name` in it; made if it does not exist. A link is refused.
    Result<HeldFolder> inside(const std::string& name) const;

    // Writes a temporary file in the same folder under an unpredictable name, syncs it, renames it to `name`
    // and syncs the folder.
    Outcome write(const std::string& name, std::string_view bytes, Readers readers) const;
    void remove(const std::string& name) const;  // of a link: removes the link, not its target
    const std::string& path() const { return path_; }

private:
    HeldFolder(OpenFile folder, std::string path);
    std::string path_of(const std::string& name) const;
    std::shared_ptr<const OpenFile> folder_;  // closed with the last copy
    std::string path_;
};

}  // namespace restand
