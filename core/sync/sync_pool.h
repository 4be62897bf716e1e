#pragma once
// Put and take, the same for every place: what is missing on either side, by device and number, and the proof
// by counts and sums of hashes that nothing hides behind equal numbers. Inside core/sync only.
//
// Equal numbers do not mean equal entries: a device that went on from an old copy has used some twice. Sums
// can be compared only over the same numbers, so a pool says the sum of any; where they differ everything is
// exchanged.

#include <tuple>

#include "core/sync/sync_bundle.h"

namespace restand {

using Numbers = std::vector<NumberRange>;  // ascending, apart
Numbers minus(const Numbers& from, const Numbers& what);
Numbers common(const Numbers& a, const Numbers& b);
Numbers united(const Numbers& a, const Numbers& b);
bool covers(const Numbers& outer, const Numbers& inner);
std::uint64_t count_of(const Numbers& numbers);
// Pieces of at most `size` numbers each.
std::vector<Numbers> pieces(const Numbers& numbers, std::uint64_t size);
void add_sum(Hash& to, const Hash& hash);  // XOR

// What a place can do, whatever it is made of.
class Pool {
public:
    virtual ~Pool() = default;
    virtual Result<VersionRanges> ranges() = 0;
    virtual Result<VersionRange> within(std::uint64_t device, const Numbers& numbers) = 0;
    virtual Result<std::uint64_t> write(const std::vector<Entry>& entries) = 0;  // known ones are skipped
    virtual Result<std::uint64_t> finish() = 0;                                  // what write() held back
    // Appends to `taken`.
    virtual Outcome read(std::uint64_t device, const Numbers& numbers, Taken& taken) = 0;
};

Result<std::uint64_t> put_into(Pool& pool, const Sender& me, const Those& those, Progress* progress);
Outcome take_from(Pool& pool, const Sender& me, Taken& taken, Progress* progress);
// Which of two words of one device is the newer: its own running numbers only grow, and so does what it holds,
// whatever the clocks say.
bool newer(const Sender& a, const Sender& b);

// What a place says of its devices, by anybody who can write there. A device puts all it holds before it says so; a word
// is believed only where the place's entries bear it out: it holds each of these numbers, and where it holds no more
// entries under them than the device says, their hashes sum up alike.
class Heard {
public:
    Heard(Pool& pool, VersionRanges there) : pool_(pool), there_(std::move(there)) {}
    // Newest first is soonest done.
    Outcome hear(Sender said);
    // A word that cannot be read hides nobody: the device is listed, as holding nothing.
    void unreadable(std::uint64_t device, const std::string& name);
    std::vector<Sender> believed() const;

private:
    Result<bool> borne_out(const VersionRanges& said);
    Pool& pool_;
    VersionRanges there_;
    std::map<std::uint64_t, Sender> best_, silent_;
    std::vector<std::tuple<std::uint64_t, Numbers, VersionRange>> asked_;
};

// The other devices as they last spoke, by name.
std::vector<Seen> seen_by(const Sender& me, std::vector<Sender> others);

inline bool cancelled(const Progress* progress) {
    return progress && progress->cancelled;
}
inline Error cancelled_error() {
    return {ErrorCode::cancelled, "", ""};
}

}  // namespace restand
