#include "core/files/file.h"

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <random>

#include "core/files/held_folder.h"

namespace restand {

std::string folder_above(const std::string& path) {
    const auto folder = std::filesystem::path(path).parent_path().string();
    return folder.empty() ? "." : folder;
}

std::string first_bytes(const std::string& path) {
    std::string start(database_start.size(), '\0');
    std::ifstream in(std::filesystem::path(path), std::ios::binary);
    in.read(start.data(), static_cast<std::streamsize>(start.size()));
    start.resize(static_cast<std::size_t>(in.gcount()));
    return start;
}

Outcome write_file_durably(const std::string& path, std::string_view bytes) {
    const auto folder = HeldFolder::open(folder_above(path));
    Outcome written =
        folder ? folder->write(std::filesystem::path(path).filename().string(), bytes, Readers::person)
               : Outcome(folder.error());
    if (written) return written;
    Error error = written.error();
    error.subject = path;
    return error;
}

Result<std::string> read_file(const std::string& path, std::uint64_t cap) {
    const OpenFile file(path, OpenFile::How::read);
    if (!file) return system_error(path);
    std::string bytes;
    char block[65536];
    for (;;) {
        const auto n = file.read(block, sizeof block);
        if (n < 0) return system_error(path);
        if (n == 0) return bytes;
        bytes.append(block, static_cast<std::size_t>(n));
        if (bytes.size() > cap) return Error{ErrorCode::too_large, path, std::to_string(cap) + " bytes"};
    }
}

std::string unguessable_beside(const std::string& name) {
    std::random_device random;
    char text[32];
    std::snprintf(text, sizeof text, ".%08x%08x.part", random(), random());
    return name + text;
}

Error linked_folder(const std::string& path) {
    return {ErrorCode::wrong_type, path, "a folder, this is a link to another place"};
}

HeldFolder::HeldFolder(OpenFile folder, std::string path)
    : folder_(std::make_shared<const OpenFile>(std::move(folder))), path_(std::move(path)) {}

std::string HeldFolder::path_of(const std::string& name) const {
    return (std::filesystem::path(path_) / name).string();
}

std::string real_path(const std::string& path) {
    std::error_code ignored;
    const auto whole = std::filesystem::weakly_canonical(path, ignored);
    return ignored ? path : whole.string();
}

}  // namespace restand
