#pragma once
// Plays a season while everything the disk is asked for is written down, then cuts the power at every call:
// the disk is rebuilt as it could look (disk_model.h), opened by the real Store, and what is in it is held
// against what the store had said by then.

#include "tests/store/power_cut_season.h"

namespace restand::test {

struct PowerCut {
    Script script = {};
    // A workshop file that is there already; script.strangers: its entries
    std::string begin_with = {};
    unsigned images_per_call = 20;      // at most; equal images are opened once
    std::size_t every = 1;              // cut at every so many calls
    unsigned seed = 1;
    bool recovery_too = false;          // the power fails again while the file is being repaired
    // One store open at a time: large ones would count against each other's bound on memory
    bool alone = false;
    // Ways to spoil it; each must be found out.
    enum class Spoil {
        nothing,
        synchronous_off,
        no_journal,
        told_too_early,
        never_cut
    } spoil = Spoil::nothing;
};

struct CutTally {
    std::uint64_t calls = 0, images = 0;
    std::uint64_t with_hot_journal = 0, with_loss = 0;  // something to repair; something the cut took
    std::uint64_t told = 0;                             // acts the store had acknowledged, over all images
    std::uint64_t unreadable = 0, corrupt = 0, missing = 0, torn = 0, strange = 0;
    std::uint64_t in_recovery = 0;                      // images cut a second time
    // With a copy under way: a new one was made and is good
    std::uint64_t copies_resumed = 0;
    bool everything_seen = false;                       // the record gives the folder as it really is
    std::vector<std::string> examples;                  // of what was found
    std::uint64_t violations() const { return unreadable + corrupt + missing + torn + strange; }
    // No violation, and the power really was cut in the middle of something.
    bool sound() const;
    std::string text() const;
};
CutTally cut_power(const PowerCut& wanted);

}  // namespace restand::test
