// A swap is solved at most once a revision of its ledger, whatever is shown and typed: counted, not timed.

#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

struct Counted {
    int solutions, uncertainties;
    std::uint64_t revision;
};

Counted counted(Driver& driver) {
    const AppState& state = driver.state();
    return {state.solver->solutions_made(), state.solver->uncertainties_made(), state.ledger.revision()};
}

// What is asked for is read: as the answer or the last baseline has it, else as the old part read.
std::string to_type(const AppState& state, const Field& field) {
    if (const auto same = same_value(state, field)) return same->text;
    const StoredReading* old = open_swap(state)->stored({Phase::before, field.end, field.point});
    return old ? old->reading.repeats.back().text : "20";
}

// Types each needed reading of the step; digit by digit, with the page made after each digit.
void read_step(Driver& driver) {
    for (int left = 40; left > 0; --left) {
        const auto field = needed_field(driver.state());
        if (!field) return;
        go(driver, act::OpenTag{*field});
        const std::string text = to_type(driver.state(), *field);
        (void)driver.page();
        const Counted before = counted(driver);
        for (const char c : text) {
            go(driver, act::PadText{std::string(1, c)});
            (void)driver.page();
        }
        const Counted typed = counted(driver);
        REQUIRE(typed.revision == before.revision);
        CHECK(typed.solutions == before.solutions);
        CHECK(typed.uncertainties == before.uncertainties);
        go(driver, act::PadNext{});
        if (driver.state().pad && !driver.state().pad->question.empty()) go(driver, act::ConfirmSame{true});
        while (driver.state().pad) go(driver, act::CloseTag{});
    }
    FAIL("a needed reading is not taken");
}

void check_page(Driver& driver, std::size_t ends) {
    const Counted before = counted(driver);
    for (int look = 0; look < 3; ++look) (void)driver.page(), driver.look();
    const Counted after = counted(driver);
    REQUIRE(after.revision == before.revision);
    CHECK(after.solutions - before.solutions <= 1);
    CHECK(after.uncertainties - before.uncertainties <= static_cast<int>(ends));
}

}  // namespace

TEST_CASE(
    "solved once: a swap of several parts, each step with every digit typed, solves at most once a "
    "revision") {
    const WalkFolder folder;
    Driver driver(tablet, folder.demo());
    const Ledger& ledger = driver.state().ledger;
    go(driver, act::SetPerson{ledger.people().front()->id});
    const Bike* bike = nullptr;
    for (const Bike* b : ledger.bikes())
        if (!ledger.open_swap(b->id) && ledger.newest_baseline(b->id)) bike = b;
    REQUIRE(bike);
    go(driver, act::StartSwap{bike->id, {SwapPart::shock, SwapPart::sprockets, SwapPart::fork_springs}});
    REQUIRE(open_swap(driver.state()));
    const std::size_t ends = ends_of(*open_swap(driver.state())).size();
    REQUIRE(ends == 2);
    for (int i = 0; i < step_count; ++i) {
        const auto step = static_cast<Step6>(i);
        CAPTURE(i);
        REQUIRE(reachable(driver.state(), step));
        go(driver, act::GoToStep{step});
        check_page(driver, ends);
        if (phase_of(step)) read_step(driver);
        check_page(driver, ends);
    }
    const Counted all = counted(driver);
    CHECK(all.solutions > 5);
    CHECK(all.uncertainties >= 2);
    CHECK(static_cast<std::uint64_t>(all.solutions) <= all.revision);
}

TEST_CASE(
    "solved once: the way back is worked out at most once a revision, with every digit typed and looked at") {
    DemoHand driver;
    const Id bike = driver.state().bike;
    set_swap_aside(driver);
    driver.tap("history");
    driver.tap("kind:1");
    REQUIRE(driver.state().season.moments.size() > 2);
    go(driver, act::ShowPlan{bike, driver.state().season.moments.back().id});
    REQUIRE(plan_shown(driver.state()));
    go(driver, act::BeginPlan{});
    const int begun = driver.state().plan_solver->plans_made();
    const std::uint64_t first = driver.state().ledger.revision();
    int typed = 0;
    for (int left = 60; left > 0 && driver.state().screen == Screen::plan; --left) {
        driver.tap("primary");
        const int before = driver.state().plan_solver->plans_made();
        const std::uint64_t revision = driver.state().ledger.revision();
        if (driver.state().pad) {
            for (const char digit : std::string("310")) {
                go(driver, act::PadText{std::string(1, digit)});
                (void)driver.page(), driver.look();
                ++typed;
            }
            REQUIRE(driver.state().ledger.revision() == revision);
            CHECK(driver.state().plan_solver->plans_made() == before);
            go(driver, act::PadNext{});
            if (driver.state().pad && !driver.state().pad->question.empty())
                go(driver, act::ConfirmSame{true});
        }
    }
    CHECK(typed > 0);
    const int made = driver.state().plan_solver->plans_made() - begun;
    CHECK(made > 1);
    CHECK(static_cast<std::uint64_t>(made) <= driver.state().ledger.revision() - first);
}
