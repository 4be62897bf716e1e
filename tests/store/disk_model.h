#pragma once
// A disk as a power cut may leave it, from what was written down (disk_shim.h).
//
// The model, worst case of what POSIX allows and file systems do
//   1  What was in a file when it was synced is kept. Each write or change of length since then is lost, kept
//      or
//      torn at 512-byte sectors, each by itself and in any combination.
//   2  A file's length may be there without its bytes: zeros or old rubbish stand in their place.
//   3  Names (create, unlink, rename) become durable in order, folder by folder: some first part of what was
//      not
//      yet followed by a sync of the folder. Making a folder is a name in the one above.
//   4  No write disturbs what lies beside it (SQLite's 'power-safe overwrite', its default); no device lies
//      about
//      a sync. Disks that do are not modelled.

#include <map>
#include <random>

#include "tests/store/disk_shim.h"

namespace restand::test {

// What a folder holds: name below it -> content.
using DiskImage = std::map<std::string, std::string>;
std::uint64_t fingerprint(const DiskImage& image);
// Makes the real folder hold this and nothing else (locks and folders may stay). `standing`: files that are
// known to stand there as they are in it; those are not written again.
void lay_out(const DiskImage& image, const std::string& folder, const DiskImage* standing = nullptr);
DiskImage image_of(const std::string& folder);

class DiskModel {
public:
    explicit DiskModel(const std::vector<std::pair<std::string, std::string>>& before);
    void play(const DiskCall& call);

    DiskImage now() const;              // nothing cut: as the program sees it
    // Plain ways to be cut, then chance. RestorePlan 0 … plain_cuts-1, anything above is drawn from `random`.
    static constexpr int plain_cuts = 6;
    DiskImage cut(int plan, std::mt19937& random) const;
    bool pending() const;               // something is not yet safe: a cut may lose it

private:
    struct Change { bool truncate; std::int64_t at; std::string bytes; };
    struct File { std::string safe, live; std::vector<Change> since; };
    enum class Fate { lost, kept, first_part, each, sectors };
    std::string content(const File& file, Fate fate, bool longer, std::mt19937& random) const;
    std::map<std::string, int> names_after(const std::map<std::string, std::size_t>& durable) const;

    std::vector<File> files_;
    std::map<std::string, int> safe_names_;     // name -> file; -1: a folder
    std::map<std::string, int> live_names_;
    struct Named { DiskCall call; std::string folder; };
    std::vector<Named> pending_names_;
};

}  // namespace restand::test
