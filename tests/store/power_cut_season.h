#pragma once
// A scripted season, played through the real Store, for tests that harm the disk under it. Every act is one
// transaction and bears its number in the bodies it writes, so that a file can be asked afterwards which acts
// are in it. What the store said of each act is kept beside.

#include <functional>
#include <string>
#include <vector>

#include "core/store/store.h"

namespace restand::test {

enum class Told { stored, not_stored, cannot_tell };
struct Act {
    std::string what;           // "reading", "merge", "backup"
    std::size_t entries = 0;    // of the transaction
    Told told = Told::not_stored;
    std::string detail;         // of the error
    int undone_by = -1;         // the restore that takes it back; -1: none
};

struct Script {
    int weekends = 2;           // each: opened, a swap, changes, an undo, a merge, closed
    // Each weekend's work is backed up, after a copy that is given up; every third one ends with a restore
    bool backups = true;
    int foreign = 4;            // entries of a merge
    std::size_t foreign_body = 40;  // bytes in one of them
    std::size_t long_body = 2000;   // bytes in one body of each weekend: overflow pages
    std::size_t strangers = 0;  // entries in the file before the season begins
    // Called before an act is asked for and after it was answered, with its number.
    std::function<void(int)> begin = {}, end = {};
};

// Foreign entries to merge are made once, outside the harmed folder. `folder`/w.restand is the workshop.
class Season {
public:
    explicit Season(Script script);
    // Plays it all; goes on after every failure, as a person would.
    void play(const std::string& folder);
    const std::vector<Act>& acts() const { return acts_; }
    // What a file holds of it: entries by act. `strange`: those that no act wrote, to be as many as
    // strangers().
    std::vector<std::size_t> acts_in(const std::vector<Entry>& entries, std::size_t& strange) const;
    std::size_t strangers() const { return script_.strangers; }
    int copies_given_up() const { return copies_given_up_; }   // in the middle
    static std::string workshop(const std::string& folder) { return folder + "/w.restand"; }
    static std::string backups(const std::string& folder) { return folder + "/backups"; }

private:
    struct Weekend;
    Script script_;
    std::vector<Act> acts_;
    std::vector<std::vector<Entry>> sync_bundles_;   // one a weekend
    std::vector<int> sync_bundle_acts_;
    int copies_given_up_ = 0;
    Id person_, bike_, swap_;                   // what the script has so far
};

}  // namespace restand::test
