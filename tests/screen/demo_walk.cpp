// Every screen of the demo season, in every viewport, with small, usual and largest letters: nothing cut off,
// nothing overlapping, every target large enough.

#include "tests/screen/team.h"

using namespace restand;
using namespace restand::test;

namespace {

// By value: the ledger rebuilds a swap with every entry about it.
void steps(Driver& driver, const Swap swap) {
    go(driver, act::ResumeSwap{swap.id});
    for (Step6 step : {Step6::before, Step6::new_part, Step6::answer, Step6::set})
        if (reachable(driver.state(), step)) go(driver, act::GoToStep{step});
    go(driver, act::GoToStep{Step6::before});
    for (const Asked& a : asked(swap, Phase::before)) {
        go(driver,
           act::OpenTag{{.of = Field::Of::reading, .phase = Phase::before, .point = a.point, .end = a.end}});
        go(driver, act::CloseTag{});
    }
}

void walk(Driver& driver) {
    const Ledger& ledger = driver.state().ledger;
    go(driver, act::SetPerson{ledger.people().front()->id});
    go(driver, act::Go{Screen::bikes, {}});
    go(driver, act::Go{Screen::settings, {}});
    go(driver, act::Go{Screen::people, {}});
    for (const Bike* bike : ledger.bikes()) {
        go(driver, act::Go{Screen::bike, bike->id});
        go(driver, act::EditBike{bike->id});
        go(driver, act::OpenTag{{.of = Field::Of::bike, .bike = BikeField::note}});
        go(driver, act::CloseTag{});
        go(driver, act::Back{});
        go(driver, act::Go{Screen::baselines, bike->id});
        if (const Baseline* newest = ledger.newest_baseline(bike->id))
            go(driver, act::Go{Screen::baseline, newest->id});
        if (const Swap* open = ledger.open_swap(bike->id)) steps(driver, *open);
    }
}

}  // namespace

TEST_CASE("every screen of the demo season, on three glasses, at 80, 100 and 200 % text") {
    const WalkFolder folder;
    const auto file = folder.demo();
    for (const Viewport& viewport : walk_viewports)
        for (const int percent : {80, 100, 200}) {
            CAPTURE(viewport.width_px);
            CAPTURE(viewport.height_px);
            CAPTURE(percent);
            Driver driver(viewport, file);
            go(driver, act::SetLook{false, percent});
            walk(driver);
        }
}
