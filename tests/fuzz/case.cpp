// A case file of unknown origin, of one end or of the whole bike: refused with a reason or solved, never a
// crash.
#include <cstdint>
#include <string_view>

#include "core/casefile/case_json.h"
#include "platform/terminal/answer_json.h"
#include "platform/terminal/bike_tables.h"

namespace {

void solve_whole(const restand::BikeCase& c) {
    if (auto stands = restand::stance(c.bike)) {
        if (c.pose)
            if (const auto at = restand::at_pose(c.bike, *c.pose)) stands->at_pose = *at;
        (void)restand::stance_json(*stands);
    }
    (void)restand::travel_table(c.bike);
    (void)restand::chain_result(c);
    if (const auto answer = restand::restore(restand::WholeCase{c.bike, c.targets, c.adjusters}))
        (void)restand::whole_json(c, *answer);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    if (restand::is_bike_case(text)) {
        if (const auto read = restand::read_bike_case(text)) solve_whole(*read);
        return 0;
    }
    const auto read = restand::read_case(text);
    if (read) (void)restand::uncertain_answer(read->swap, read->inputs, read->remake);
    return 0;
}
