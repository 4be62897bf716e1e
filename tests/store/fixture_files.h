#pragma once
// The folder of the files of every released format, and how they were written, once.

#include <filesystem>
#include <functional>

#include "core/files/file.h"
#include "core/sync/sync_bundle.h"
#include "tests/store/workshop.h"

namespace restand::test {

inline const std::string folder_of_fixtures = std::string(RESTAND_SOURCE_DIR) + "/tests/fixtures/";

// A workshop file and its bundle. Refuses to replace a file that is there. `wall`: empty = the system clock.
inline void write_files(const std::string& name, std::int64_t sent_ms, void (*write)(Store&),
                 std::function<std::int64_t()> wall = {}) {
    REQUIRE_FALSE(std::filesystem::exists(folder_of_fixtures + name + ".restand"));
    const Folder folder;
    const std::string path = folder(name + ".restand");
    SyncBundle sync_bundle;
    {
        Store store = got(Store::open(path, Store::Mode::create, std::move(wall)));
        write(store);
        sync_bundle.entries = got(store.all());
        sync_bundle.sender = {store.device(), "truck", sent_ms, got(store.ranges())};
    }
    REQUIRE(write_file_durably(folder_of_fixtures + name + ".restand", bytes_of(path)));
    REQUIRE(write_file_durably(folder_of_fixtures + name + ".bundle", write_sync_bundle(sync_bundle)));
}

}  // namespace restand::test
