#pragma once
// Copies a workshop file in slices, between the store's other work. The store's own writes use the same
// connection and keep the copy current, so it never restarts; between two slices no lock is held. Damage is
// copied unchanged: what can be read in the file can be read in the copy.

#include <chrono>
#include <memory>
#include <string>

#include "core/store/store.h"

namespace restand {

class Snapshot {
public:
    // `to` must not exist. Used by one thread at a time; destroyed before the store.
    static Result<Snapshot> begin(const Store& store, const std::string& to);
    Snapshot(Snapshot&&) noexcept;
    Snapshot& operator=(Snapshot&&) noexcept;
    ~Snapshot();
    // Continues for about this long, so many pages at a time (256 take about a millisecond). True: the copy
    // is complete, but not synced. Error cancelled: the store has reopened its file meanwhile. Errors io,
    // read_only: of the copy; in_use.
    Result<bool> step(std::chrono::milliseconds most, int pages = 256);
    // How many entries the store holds, counted in the file's smallest index; takes some milliseconds.
    static Result<std::uint64_t> entries_in(const Store& store);

private:
    struct Impl;
    explicit Snapshot(std::unique_ptr<Impl> impl);
    std::unique_ptr<Impl> impl_;
};

}  // namespace restand
