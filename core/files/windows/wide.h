#pragma once
// Windows takes paths in UTF-16. Ours are UTF-8, and the compiler's library reads a narrow path as that.

#include <filesystem>
#include <string>

namespace restand {

inline std::wstring wide(const std::string& path) {
    return std::filesystem::path(path).wstring();
}

}  // namespace restand
