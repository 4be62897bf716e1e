#pragma once
// The content of a swap's entries: the swap itself, its steps, its readings, and the baseline it ends in.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/ledger/swap.h"

namespace restand {

struct SwapBody {
    std::vector<SwapPart> parts;
    friend bool operator==(const SwapBody&, const SwapBody&) = default;
};
// about = swap
struct StepBody { Step6 step; friend bool operator==(const StepBody&, const StepBody&) = default; };
struct SwapEndBody { bool kept; friend bool operator==(const SwapEndBody&, const SwapEndBody&) = default; };

struct ReadingBody {           // about = swap
    Phase phase;
    Reading reading;
    bool confirmed = false;
    std::optional<End> end{};  // nullopt: the end of the swap's first part
    friend bool operator==(const ReadingBody&, const ReadingBody&) = default;
};
ReadAt read_at(const ReadingBody& body, const std::vector<SwapPart>& parts);
// The body to write. `end` is set only if it is not the end of the swap's first part.
ReadingBody read_in(const Swap& swap, const ReadAt& at, Reading reading, bool confirmed = false);

struct BaselineValue {
    End end;
    StoredReading stored;
    friend bool operator==(const BaselineValue&, const BaselineValue&) = default;
};
// How the swap that a baseline ends was judged. not_said: there was none, or an earlier version kept it.
enum class Judged { not_said, restored, not_restored, cannot_tell, not_checked };
std::string_view key(Judged judged);   // "not_restored"
struct BaselineBody {          // about = swap; nil: without one
    std::string reason;
    Id based_on{};                       // the baseline before this one; nil: it is the bike's first
    std::vector<BaselineValue> values{};   // of the whole bike; untouched ones are carried over
    Judged judged = Judged::not_said;
    friend bool operator==(const BaselineBody&, const BaselineBody&) = default;
};
// A swap took a new part from the shelf. about = swap
struct PickBody { Id item; friend bool operator==(const PickBody&, const PickBody&) = default; };

}  // namespace restand
