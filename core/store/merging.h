#pragma once
// A merge in several transactions of a few entries each, so that readings are stored between them. Whatever
// is in after a step stays, and merging the same entries again adds what is missing.

#include <memory>

#include "core/store/store.h"

namespace restand {

class Merging {
public:
    // Adds `entries` in their order; they must outlive it. Takes no store and may run on another thread.
    explicit Merging(const std::vector<Entry>& entries);
    Merging(Merging&&) noexcept;
    ~Merging();
    // Verifies and adds the next `most` entries in one transaction. True: all are in. Errors as
    // Store::merge().
    Result<bool> step(Store& store, std::size_t most, Progress* progress = nullptr);
    const Store::Merged& merged() const;     // so far

private:
    struct Impl;
    std::unique_ptr<Impl> impl_;
};

}  // namespace restand
