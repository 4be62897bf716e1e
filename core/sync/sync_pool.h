#pragma once
// put() and take() for every place. What is missing on either side is found by device and number. Counts and
// XOR sums of hashes then prove that equal numbers are equal entries. For core/sync only.
//
// Equal numbers need not be equal entries: a device that continued from an old copy has used some numbers
// twice. Sums can be compared only over the same numbers, so a pool gives the sum over any numbers. If sums
// differ, all entries are exchanged.

#include <tuple>

#include "core/sync/sync_bundle.h"

namespace restand {

using Numbers = std::vector<NumberRange>;  // ascending, with gaps between
Numbers minus(const Numbers& from, const Numbers& what);
Numbers common(const Numbers& a, const Numbers& b);
Numbers united(const Numbers& a, const Numbers& b);
bool covers(const Numbers& outer, const Numbers& inner);
std::uint64_t count_of(const Numbers& numbers);
// Pieces of at most `size` numbers each.
std::vector<Numbers> pieces(const Numbers& numbers, std::uint64_t size);
void add_sum(Hash& to, const Hash& hash);  // XOR

// The operations of a place, of any kind.
class Pool {
public:
    virtual ~Pool() = default;
    virtual Result<VersionRanges> ranges() = 0;
    virtual Result<VersionRange> within(std::uint64_t device, const Numbers& numbers) = 0;
    virtual Result<std::uint64_t> write(const std::vector<Entry>& entries) = 0;  // known ones are skipped
    virtual Result<std::uint64_t> finish() = 0;                                  // writes write()'s buffer
    // Appends to `taken`.
    virtual Outcome read(std::uint64_t device, const Numbers& numbers, Taken& taken) = 0;
};

Result<std::uint64_t> put_into(Pool& pool, const Sender& me, const Those& those, Progress* progress);
Outcome take_from(Pool& pool, const Sender& me, Taken& taken, Progress* progress);
// True if `a` is the newer of two statements of one device. Its own running numbers only grow, and so does
// its count of entries. So these are compared first; the clock decides last.
bool newer(const Sender& a, const Sender& b);

// Checks the statements in a place about what each device holds. Anybody who can write there can forge one. A
// device writes all its entries before its statement, so a statement is believed only if the place's entries
// confirm it. The place must hold each stated number and at least as many entries under these numbers as
// stated. If it holds just as many, the XOR sums of the hashes must be equal.
class Heard {
public:
    Heard(Pool& pool, VersionRanges there) : pool_(pool), there_(std::move(there)) {}
    // Fastest when the newest statement comes first.
    Outcome hear(Sender said);
    // An unreadable statement does not hide its device: the device is listed as holding nothing.
    void unreadable(std::uint64_t device, const std::string& name);
    std::vector<Sender> believed() const;

private:
    Result<bool> borne_out(const VersionRanges& said);
    Pool& pool_;
    VersionRanges there_;
    std::map<std::uint64_t, Sender> best_, silent_;
    std::vector<std::tuple<std::uint64_t, Numbers, VersionRange>> asked_;
};

// The other devices by their last statements, sorted by name.
std::vector<Seen> seen_by(const Sender& me, std::vector<Sender> others);

inline bool cancelled(const Progress* progress) {
    return progress && progress->cancelled;
}
inline Error cancelled_error() {
    return {ErrorCode::cancelled, "", ""};
}

}  // namespace restand
