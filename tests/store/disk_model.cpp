#include "tests/store/disk_model.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "core/quantity/result.h"

namespace restand::test {
namespace {

namespace fs = std::filesystem;
using Kind = DiskCall::Kind;
constexpr std::size_t sector = 512;

std::string folder_of(const std::string& name) {
    const auto slash = name.rfind('/');
    return slash == std::string::npos ? "" : name.substr(0, slash);
}

void overwrite(std::string& content, std::size_t at, std::string_view bytes, char fill = '\0') {
    if (content.size() < at + bytes.size()) content.resize(at + bytes.size(), fill);
    std::copy(bytes.begin(), bytes.end(), content.begin() + static_cast<std::ptrdiff_t>(at));
}

// FNV-1a, 64 bit, eight bytes at a time: only to tell images apart.
std::uint64_t mixed(std::uint64_t hash, std::string_view bytes) {
    constexpr std::uint64_t prime = 1099511628211ull;
    hash = (hash ^ bytes.size()) * prime;
    for (; bytes.size() >= 8; bytes.remove_prefix(8)) {
        std::uint64_t word = 0;
        std::copy_n(bytes.begin(), 8, reinterpret_cast<char*>(&word));
        hash = (hash ^ word) * prime;
        hash ^= hash >> 29;
    }
    for (const char c : bytes) hash = (hash ^ static_cast<unsigned char>(c)) * prime;
    return hash;
}

void apply_name(std::map<std::string, int>& names, const DiskCall& call) {
    switch (call.kind) {
        case Kind::create:
            names[call.name] = call.file;
            break;
        case Kind::make_folder:
            names[call.name] = -1;
            break;
        case Kind::unlink:
            names.erase(call.name);
            break;
        case Kind::link:
            names[call.to] = call.file;
            break;
        case Kind::rename:
            names.erase(call.name);
            names[call.to] = call.file;
            break;
        default:
            break;
    }
}

}  // namespace

std::uint64_t fingerprint(const DiskImage& image) {
    std::uint64_t hash = 14695981039346656037ull;
    for (const auto& [name, content] : image) hash = mixed(mixed(hash, name), content);
    return hash;
}

void lay_out(const DiskImage& image, const std::string& folder, const DiskImage* standing) {
    std::error_code ignored;
    for (const auto& one : fs::recursive_directory_iterator(folder, ignored)) {
        const std::string name = fs::relative(one.path(), folder, ignored).string();
        if (one.is_regular_file() && !image.contains(name) && !name.ends_with(".lock"))
            fs::remove(one.path(), ignored);
    }
    for (const auto& [name, content] : image) {
        const fs::path path = fs::path(folder) / name;
        const auto same = standing ? standing->find(name) : image.end();
        if (standing && same != standing->end() && same->second == content && fs::exists(path, ignored))
            continue;
        if (name.find('/') != std::string::npos) fs::create_directories(path.parent_path(), ignored);
        std::ofstream(path, std::ios::binary)
            .write(content.data(), static_cast<std::streamsize>(content.size()));
    }
}

DiskImage image_of(const std::string& folder) {
    DiskImage image;
    for (const auto& one : fs::recursive_directory_iterator(folder)) {
        if (!one.is_regular_file()) continue;
        std::ifstream in(one.path(), std::ios::binary);
        image[fs::relative(one.path(), folder).string()] = {std::istreambuf_iterator<char>(in), {}};
    }
    return image;
}

DiskModel::DiskModel(const std::vector<std::pair<std::string, std::string>>& before) {
    for (const auto& [name, content] : before) {
        safe_names_[name] = static_cast<int>(files_.size());
        files_.push_back({content, content, {}});
    }
    live_names_ = safe_names_;
}

void DiskModel::play(const DiskCall& call) {
    const auto file = static_cast<std::size_t>(std::max(call.file, 0));
    if (call.file >= 0 && file >= files_.size()) files_.resize(file + 1);
    switch (call.kind) {
        case Kind::write:
            overwrite(files_[file].live, static_cast<std::size_t>(call.at), call.bytes);
            files_[file].since.push_back({false, call.at, call.bytes});
            break;
        case Kind::truncate:
            files_[file].live.resize(static_cast<std::size_t>(call.at));
            files_[file].since.push_back({true, call.at, ""});
            break;
        case Kind::sync:
            files_[file].safe = files_[file].live;
            files_[file].since.clear();
            break;
        case Kind::sync_folder:
            std::erase_if(pending_names_, [&](const Named& named) {
                if (named.folder != call.name) return false;
                apply_name(safe_names_, named.call);
                return true;
            });
            break;
        case Kind::note:
            break;
        default:
            apply_name(live_names_, call);
            pending_names_.push_back({call, folder_of(call.to.empty() ? call.name : call.to)});
    }
}

DiskImage DiskModel::now() const {
    DiskImage image;
    for (const auto& [name, file] : live_names_)
        if (file >= 0) image[name] = files_[static_cast<std::size_t>(file)].live;
    return image;
}

bool DiskModel::pending() const {
    if (!pending_names_.empty()) return true;
    return std::any_of(files_.begin(), files_.end(), [](const File& f) { return !f.since.empty(); });
}

std::string DiskModel::content(const File& file, Fate fate, bool longer, std::mt19937& random) const {
    std::string content = file.safe;
    if (fate == Fate::lost && !longer) return content;
    const char fill = random() % 2 ? '\0' : static_cast<char>(random());
    const std::size_t first =
        fate == Fate::first_part ? random() % (file.since.size() + 1) : file.since.size();
    const unsigned odds = 1 + random() % 9;  // of ten that a write is kept
    const auto lucky = [&] { return random() % 10 < odds; };
    for (std::size_t i = 0; i < file.since.size(); ++i) {
        const Change& change = file.since[i];
        const bool whole = fate == Fate::kept || (fate == Fate::first_part && i < first) ||
                           (fate == Fate::each && lucky()) ||
                           (fate == Fate::sectors && change.truncate && lucky());
        if (change.truncate) {
            if (whole) content.resize(static_cast<std::size_t>(change.at));
            continue;
        }
        const auto at = static_cast<std::size_t>(change.at);
        if (whole) overwrite(content, at, change.bytes, fill);
        // The length is kept in a table of its own and may be there first.
        else if (longer && content.size() < at + change.bytes.size())
            content.resize(at + change.bytes.size(), fill);
        if (whole || fate != Fate::sectors) continue;
        for (std::size_t from = 0; from < change.bytes.size();) {
            const std::size_t to = std::min(change.bytes.size(), (at + from) / sector * sector + sector - at);
            if (lucky())
                overwrite(content, at + from, std::string_view(change.bytes).substr(from, to - from), fill);
            from = to;
        }
    }
    return content;
}

std::map<std::string, int> DiskModel::names_after(const std::map<std::string, std::size_t>& durable) const {
    auto names = safe_names_;
    std::map<std::string, std::size_t> seen;
    for (const Named& named : pending_names_)
        if (++seen[named.folder] <= durable.at(named.folder)) apply_name(names, named.call);
    return names;
}

DiskImage DiskModel::cut(int plan, std::mt19937& random) const {
    // Plain: everything lost or kept, with and without the names; then what is old against what is new.
    std::map<std::string, std::size_t> waiting, durable;
    for (const Named& named : pending_names_) ++waiting[named.folder];
    for (const auto& [folder, count] : waiting) {
        const bool all = plan == 1 || plan == 2 || plan == 4, none = plan == 0 || plan == 3 || plan == 5;
        durable[folder] = all ? count : none ? 0 : random() % (count + 1);
    }
    DiskImage image;
    const auto names = names_after(durable);
    for (const auto& [name, number] : names) {
        if (number < 0) continue;
        // A file in a folder that is not there is not there. Folders older than the record are never missing.
        bool there = true;
        for (auto folder = folder_of(name); !folder.empty(); folder = folder_of(folder))
            there = there && (names.contains(folder) || !live_names_.contains(folder));
        if (!there) continue;
        const File& file = files_[static_cast<std::size_t>(number)];
        const bool journal = name.ends_with("-journal");
        Fate fate = Fate::lost;
        if (plan == 1 || plan == 3)
            fate = Fate::kept;
        else if (plan == 4 || plan == 5)
            fate = journal == (plan == 4) ? Fate::kept : Fate::lost;
        else if (plan >= plain_cuts)
            fate = static_cast<Fate>(random() % 5);
        image[name] = content(file, fate, plan >= plain_cuts && random() % 2, random);
    }
    return image;
}

}  // namespace restand::test
