// No row of settings, readings, jobs, swaps and ways back leaves something on 'May it go out?' that cannot be put
// right: after each hundred of 10 000 acts at random it is put right one by one, with what its page offers.

#include <fmt/format.h>

#include <random>

#include "core/ledger/readiness.h"
#include "tests/screen/state_kit.h"

using namespace restand;
using namespace restand::test;

namespace {

class Tried : public Workshop {
public:
    explicit Tried(unsigned seed) : random_(seed), bike_(state.ledger.bikes().front()->id) {
        abandon();
        for (const auto& [end, point, text] : {std::tuple{End::rear, Point::eye_to_eye, "310"},
                                               {End::rear, Point::spring_rate, "95"},
                                               {End::rear, Point::spring_free_length, "160"},
                                               {End::rear, Point::spring_block_length, "90"},
                                               {End::rear, Point::travel, "60"},
                                               {End::rear, Point::spring_installed_length, "150"},
                                               {End::front, Point::fork_position, "6"}})
            set(end, point, text);
        read_heights(End::rear);
        read_heights(End::front);
    }

    void act_at_random() {
        const End end = any(2) ? End::rear : End::front;
        const auto jobs = state.ledger.jobs(bike_);
        const Id job = jobs.empty() ? Id{} : jobs[any(jobs.size())]->id;
        const Id other = jobs.empty() ? Id{} : jobs[any(jobs.size())]->id;
        switch (any(14)) {
            case 0:
                return now(act::Nudge{End::rear, Point::eye_to_eye, any(2) ? 1.0 : -1.0});
            case 1:
                return now(act::Nudge{End::rear, Point::spring_installed_length, any(2) ? 4.0 : -4.0});
            case 2:
                return now(act::Nudge{End::front, Point::fork_position, any(2) ? 1.0 : -1.0});
            case 3:
                return set(end, ride_heights[any(3)], fmt::format("{}", 440 + any(80)));
            case 4:
                return now(act::SetJobText{bike_, {}, JobField::what, fmt::format("job {}", any(1000))});
            case 5:
                return now(
                    act::SetJobBefore{job, any(4) ? std::optional(all_milestones[any(6)]) : std::nullopt});
            case 6:
                return now(act::SetJobAfter{job, other, any(4) != 0});
            case 7:
                return now(act::SetJobText{bike_, job, JobField::part, any(2) ? "a part" : ""});
            case 8:
                return any(2) ? now(act::SetJobDone{job, any(2) == 0})
                              : now(act::SetJobDropped{job, any(2) == 0});
            case 9:
                return any(3) ? now(act::StartSwap{bike_, {SwapPart::shock}}) : abandon();
            case 10:
                if (const Baseline* last = state.ledger.newest_baseline(bike_)) {
                    now(act::ShowPlan{bike_, last->id});
                    now(act::BeginPlan{});
                }
                return;
            case 11:
                return now(act::KeepAsItStands{bike_});
            case 12:
                return any(8) ? now(act::Undo{}) : now(act::AddUsualJobs{bike_});
            default:
                return now(act::Redo{});
        }
    }

    std::vector<ReadyItem> items() {
        const auto jobs = open_jobs(state.ledger, bike_);
        return ready_items(state.ledger, *state.ledger.bike(bike_), Milestone::season,
                           {jobs, {}, state.now_ms});
    }

    // What the page that the item leads to offers.
    void put_right(const ReadyItem& item) {
        switch (item.rule) {
            case ReadyRule::open_job:
                return now(act::SetJobDone{item.subject, true});
            case ReadyRule::open_swap:
                return abandon();
            case ReadyRule::open_way:
                now(act::ShowPlan{bike_, {}});
                return now(act::EndPlan{false});
            case ReadyRule::no_heights:
            case ReadyRule::heights_moved:
            case ReadyRule::heights_old:
                return read_heights(*item.end);
            case ReadyRule::coils_touch:
            case ReadyRule::beyond_adjuster:
                set(End::rear, Point::eye_to_eye, "310");
                return set(End::rear, Point::spring_installed_length, "158");
            default:
                FAIL("nothing here makes this: " << std::string(key(item.rule)));
        }
    }

private:
    std::size_t any(std::size_t count) { return random_() % count; }
    void now(const Action& action) {
        apply(state, action);
        disk.answer_all();
    }
    void abandon() {
        if (const Swap* open = state.ledger.open_swap(bike_)) now(act::AbandonSwap{open->id});
    }
    void set(End end, Point point, const std::string& text) {
        apply(state, act::StartChange{bike_});
        apply(state, act::OpenTag{{.of = Field::Of::change, .point = point, .end = end}});
        apply(state, act::PadText{text});
        apply(state, act::PadNext{});
        if (state.pad && !state.pad->question.empty()) apply(state, act::ConfirmSame{true});
        if (state.pad) apply(state, act::CloseTag{});
        disk.answer_all();
    }
    void read_heights(End end) {
        const bool rear = end == End::rear;
        const char* heights[] = {rear ? "500" : "620", rear ? "490" : "600", rear ? "466" : "580"};
        for (std::size_t i = 0; i < ride_heights.size(); ++i) set(end, ride_heights[i], heights[i]);
    }

    std::mt19937 random_;
    Id bike_;
};

}  // namespace

TEST_CASE(
    "ready: after any of 10 000 acts at random everything that speaks against the bike can be put right") {
    std::size_t put_right = 0;
    std::set<ReadyRule> met;
    for (unsigned round = 0; round < 100; ++round) {
        CAPTURE(round);
        Tried tried(round);
        for (int i = 0; i < 100; ++i) tried.act_at_random();
        std::size_t left = 400;
        for (auto items = tried.items(); !items.empty() && left > 0; items = tried.items(), --left) {
            const ReadyItem first = items.front();
            met.insert(first.rule);
            tried.put_right(first);
            const auto after = tried.items();
            CHECK_MESSAGE(std::find(after.begin(), after.end(), first) == after.end(),
                          std::string(key(first.rule)) << " stays: " << first.name);
            ++put_right;
        }
        REQUIRE(left > 0);
    }
    CHECK(put_right > 500);
    CHECK(met.size() >= 4);
}
