#include "core/store/copy.h"

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <memory>
#include <thread>

#include "core/codec/sha256.h"

namespace restand {
namespace {

namespace fs = std::filesystem;

// Calls `use(bytes)` for each block.
template <class Use>
Outcome each_block(const OpenFile& file, const std::string& path, Use use) {
    if (!file) return system_error(path);
    char block[65536];
    for (;;) {
        const auto n = file.read(block, sizeof block);
        if (n < 0) return system_error(path);
        if (n == 0) return Done{};
        if (const auto used = use(std::string_view(block, static_cast<std::size_t>(n))); !used) return used;
    }
}

constexpr std::int64_t given_back_at_once = 16 << 20;

// Frees a deleted file in pieces, on a thread. If no thread can be started, it is closed, and so freed, at
// once.
void give_back_in_pieces(std::shared_ptr<const OpenFile> file, std::int64_t size) {
    try {
        std::thread([file = std::move(file), size]() mutable {
            // Waits first: an app that is closing has finished its last syncs by then.
            constexpr std::chrono::milliseconds before{1'000}, between{20};
            std::this_thread::sleep_for(before);
            while (size > 0) {
                size -= std::min(size, given_back_at_once);
                if (!file->cut(size)) break;
                std::this_thread::sleep_for(between);
            }
        }).detach();
    } catch (const std::exception&) {  // no thread, or no memory for one
    }
}

}  // namespace

Result<Hash> sha256_of_file(const std::string& path, const Progress* progress, bool sync) {
    const OpenFile file(path, sync ? OpenFile::How::change : OpenFile::How::read);
    Sha256 sum;
    std::int64_t at = 0, synced = 0;
    constexpr std::int64_t piece = 4 << 20;
    const auto read = each_block(file, path, [&](std::string_view bytes) -> Outcome {
        sum.add(bytes);
        at += static_cast<std::int64_t>(bytes.size());
        if (progress && progress->cancelled) return Error{ErrorCode::cancelled, path, ""};
        if (sync && at - synced >= piece) file.send_to_disk(synced, at), synced = at;
        return Done{};
    });
    if (!read) return read.error();
    if (sync && !file.sync()) return system_error(path);
    return sum.finish();
}

Outcome copy_file_durably(const std::string& from, const std::string& to) {
    const OpenFile file(to, OpenFile::How::make);
    if (!file) return system_error(to);
    const OpenFile source(from, OpenFile::How::read);
    const auto copied = each_block(source, from, [&](std::string_view bytes) -> Outcome {
        if (!file.write(bytes)) return system_error(to);
        return Done{};
    });
    if (!copied) return copied;
    if (!file.sync()) return system_error(to);
    return Done{};
}

Outcome sync_file(const std::string& path) {
    const OpenFile file(path, OpenFile::How::change);
    if (!file || !file.sync()) return system_error(path);
    return Done{};
}

void write_back(const std::string& path, std::uint64_t& synced) {
    const OpenFile file(path, OpenFile::How::change);
    const std::int64_t size = file ? file.size() : -1;
    if (size < 0) return;
    file.send_to_disk(static_cast<std::int64_t>(synced), size);
    synced = static_cast<std::uint64_t>(size);
}

// The name is removed at once. Freeing some hundred megabytes takes a tenth of a second, and every sync of
// another file waits meanwhile. So it is freed piece by piece, on a thread that nobody waits for. The end of
// the program frees the rest.
void PartFile::remove() const {
    auto file = std::make_shared<const OpenFile>(path_, OpenFile::How::let_go);
    std::error_code ignored;
    for (const char* more : {"", "-journal", ".lock"}) fs::remove(path_ + more, ignored);
    const std::int64_t size = *file && file->has_no_name() ? file->size() : 0;
    if (size > given_back_at_once) give_back_in_pieces(std::move(file), size);
}

}  // namespace restand
