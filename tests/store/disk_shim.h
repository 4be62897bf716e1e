#pragma once
// Between the program and the kernel: the system calls by which a file is changed, as SQLite's own way to the
// disk and core/store's make them. They can be written down (for power cuts) and made to fail (for bad
// disks).
//
// How: the test program defines open, write, pwrite, ftruncate, fsync, unlink, rename … itself, so that the
// shared SQLite, libstdc++ and core/store all call these; they pass on to the C library. So nothing in core/
// knows of it, and what is tested is what is shipped. Unarmed, a call costs one more load. Linux and ELF
// only.
//
// Looked at are paths below one folder while a Watch lives; one Watch at a time, one thread that plays under
// it.

#include <cstdint>
#include <string>
#include <vector>

namespace restand::test {

// A change of the disk, or a note of the test's own between two changes.
struct DiskCall {
    enum class Kind { create, write, truncate, sync, sync_folder, unlink, rename, link, make_folder, note };
    Kind kind = Kind::note;
    int file = -1;              // which file, whatever it is called; counts from 0 in order of appearance
    std::int64_t at = 0;        // write: offset; truncate: length; note: its number
    std::string bytes;          // write
    std::string name, to;       // below the folder: "w.restand", "backups/one.part"; to: of a rename, a link
};

// Which call goes wrong, and how. Calls are counted from 1: opens, writes, truncates, syncs, unlinks,
// renames, links.
struct Fault {
    enum class How {
        none,
        fail,                   // nothing is done, and the call says so
        fail_late,              // it is done, and the call says it failed
        shorten,                // half a write is done; the next write finds the disk full
        lose,                   // nothing is done, and the call says it is
        full,                   // writes fail with 'no space'; everything else works
    };
    How how = How::none;
    std::uint64_t at = 0;
    bool for_good = false;      // and every call after it
};

class Watch {
public:
    // `folder` must exist; what is already in it counts as safe on disk.
    explicit Watch(const std::string& folder, Fault fault = {}, bool record = true);
    ~Watch();
    Watch(const Watch&) = delete;
    Watch& operator=(const Watch&) = delete;

    void note(std::int64_t number);
    void pause(bool paused);            // calls pass, uncounted and unfaulted; still written down
    std::uint64_t calls() const;        // that could have failed so far
    bool struck() const;                // the fault has happened
    std::string struck_call() const;    // "write w.restand-journal"; empty: not yet
    std::vector<DiskCall> take();       // what was written down
    // Files that stood there at the start, as `file` numbers them: name and content.
    const std::vector<std::pair<std::string, std::string>>& before() const;
};

}  // namespace restand::test
