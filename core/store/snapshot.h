#pragma once
// A copy of a workshop file that is taken in slices, between what else the store does. Its own writes go through the
// same connection and keep the copy current, so that it never begins again; between two slices no lock is held.
// Damage is copied as it is: what can be read in the file can be read in the copy.

#include <chrono>
#include <memory>
#include <string>

#include "core/store/store.h"

namespace restand {

class Snapshot {
public:
    // `to` must not be there. Used by one thread at a time, and gone before the store is.
    static Result<Snapshot> begin(const Store& store, const std::string& to);
    Snapshot(Snapshot&&) noexcept;
    Snapshot& operator=(Snapshot&&) noexcept;
    ~Snapshot();
    // Copies on for about so long. True: all of it is there, not synced. Error cancelled: the store has opened its file
    // anew meanwhile. Errors io, read_only: of the copy; in_use.
    Result<bool> step(std::chrono::milliseconds most);
    // How many entries the store holds, counted off the file's smallest index: some milliseconds.
    static Result<std::uint64_t> entries_in(const Store& store);

private:
    struct Impl;
    explicit Snapshot(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> impl_;
};

}  // namespace restand
