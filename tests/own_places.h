#pragma once
// A folder in place of the machine's sticks and documents (platform/places.h) while this object lives.

#include <cstdlib>
#include <filesystem>
#include <stdexcept>
#include <string>

namespace restand::test {

class OwnPlaces {
public:
    OwnPlaces() : path_((std::filesystem::temp_directory_path() / "restand-places-XXXXXX").string()) {
        if (!::mkdtemp(path_.data())) throw std::runtime_error("no folder for the places of a test");
        set(path_);
    }
    OwnPlaces(const OwnPlaces&) = delete;
    OwnPlaces& operator=(const OwnPlaces&) = delete;
    ~OwnPlaces() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    // `folder` as the place of documents, and of sticks when there are more folders in it.
    static void set(const std::filesystem::path& folder) {
        std::filesystem::create_directories(folder / "documents");
        ::setenv("RESTAND_PLACES", folder.c_str(), 1);
    }

private:
    std::string path_;
};

}  // namespace restand::test
