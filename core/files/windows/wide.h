#pragma once
// Windows takes paths in UTF-16. Ours are UTF-8, which platform/windows/standard has paths read as.

#include <filesystem>
#include <string>

namespace restand {

inline std::wstring wide(const std::string& path) {
    return std::filesystem::path(path).wstring();
}

}  // namespace restand
