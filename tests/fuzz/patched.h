#pragma once
// A fuzzer finds its way into a file of a hundred checks only from a good one. So its input is read as
// changes to a good file: the new length (3 bytes, 0: as it is), then places (3 bytes) and the bytes that
// stand there (a count, up to 16, and so many).
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <string_view>

namespace restand::fuzz {

inline std::string patched(std::string file, const std::uint8_t* data, std::size_t size) {
    std::size_t at = 0;
    const auto byte = [&] { return at < size ? data[at++] : std::uint8_t{0}; };
    const auto number = [&] {
        const std::size_t high = byte(), middle = byte();
        return high << 16 | middle << 8 | byte();
    };
    if (file.empty()) return file;
    if (const std::size_t length = number(); length != 0) file.resize(length % (2 * file.size()) + 1);
    while (at < size) {
        const std::size_t place = number();
        for (std::size_t count = byte() % 16 + 1; count > 0 && at < size; --count)
            file[(place + count) % file.size()] = static_cast<char>(byte());
    }
    return file;
}

// A folder of this run's own, in memory where the system has that; gone when the run ends well.
class Place {
public:
    Place() {
        const bool memory = std::filesystem::is_directory("/dev/shm");
        path_ =
            (memory ? "/dev/shm" : std::filesystem::temp_directory_path().string()) + "/restand-fuzz-XXXXXX";
        if (!::mkdtemp(path_.data())) std::abort();
    }
    ~Place() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    std::string operator()(const std::string& name) const { return path_ + "/" + name; }

private:
    std::string path_;
};

inline void write(const std::string& path, std::string_view bytes) {
    std::ofstream(path, std::ios::binary).write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}
inline std::string read(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace restand::fuzz
