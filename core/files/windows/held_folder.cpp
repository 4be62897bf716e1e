// While a folder is held, Windows neither renames nor deletes it: its path leads to it.

#include "core/files/held_folder.h"

#include <windows.h>

#include <utility>

#include "core/files/file.h"
#include "core/files/windows/wide.h"

namespace restand {
namespace {

std::intptr_t folder_at(const std::string& path, DWORD more) {
    return reinterpret_cast<std::intptr_t>(::CreateFileW(
        wide(path).c_str(), FILE_LIST_DIRECTORY | SYNCHRONIZE, FILE_SHARE_READ | FILE_SHARE_WRITE, nullptr,
        OPEN_EXISTING, FILE_FLAG_BACKUP_SEMANTICS | more, nullptr));
}

// It stands for another place. Other kinds, such as a folder that is also kept on a server, are folders.
bool is_link(const OpenFile& folder) {
    FILE_ATTRIBUTE_TAG_INFO info{};
    return ::GetFileInformationByHandleEx(reinterpret_cast<HANDLE>(folder.handle()), FileAttributeTagInfo,
                                          &info, sizeof info) &&
           (info.FileAttributes & FILE_ATTRIBUTE_REPARSE_POINT) && IsReparseTagNameSurrogate(info.ReparseTag);
}

}  // namespace

Result<HeldFolder> HeldFolder::open(const std::string& path) {
    OpenFile folder(folder_at(path, 0));
    if (!folder) return system_error(path);
    return HeldFolder(std::move(folder), path);
}

Result<HeldFolder> HeldFolder::inside(const std::string& name) const {
    const std::string path = path_of(name);
    if (!::CreateDirectoryW(wide(path).c_str(), nullptr) && ::GetLastError() != ERROR_ALREADY_EXISTS)
        return system_error(path);
    OpenFile folder(folder_at(path, FILE_FLAG_OPEN_REPARSE_POINT));
    if (!folder) return system_error(path);
    if (is_link(folder)) return linked_folder(path);
    return HeldFolder(std::move(folder), path);
}

// Who may read it is the folder's to say: a new file has the rights of its folder.
Outcome HeldFolder::write(const std::string& name, std::string_view bytes, Readers) const {
    const std::string path = path_of(name);
    // A temporary file in the same folder: a rename is atomic only within one file system.
    const std::string beside = path_of(unguessable_beside(name));
    OpenFile file(beside, OpenFile::How::make);
    if (!file) return Error{system_error(path)};
    const bool written = file.write(bytes) && file.sync();
    Error error = system_error(path);
    file = OpenFile();
    if (written) {
        const auto renamed = rename_durably(beside, path);
        if (renamed) return Done{};
        error = renamed.error();
    }
    (void)remove_file(beside);
    return error;
}

void HeldFolder::remove(const std::string& name) const {
    (void)remove_file(path_of(name));
}

}  // namespace restand
