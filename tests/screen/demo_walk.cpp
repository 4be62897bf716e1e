// Every screen of the demo season, on every glass, with small, usual and the largest letters: nothing cut off, nothing
// over anything, every target large enough.

#include "demo/season.h"
#include "tests/screen/hand.h"

using namespace restand;

namespace {

constexpr Glass glasses[] = {{1280, 800, 5.87f}, {800, 1280, 5.87f}, {1920, 1080, 6.4f}};

struct DemoYear {
    std::filesystem::path folder =
        std::filesystem::temp_directory_path() / ("restand-season-" + std::to_string(std::random_device{}()));
    std::filesystem::path file = folder / "demo.restand";
    DemoYear() {
        std::filesystem::create_directories(folder);
        REQUIRE(make_demo(file).has_value());
    }
    ~DemoYear() {
        std::error_code ignored;
        std::filesystem::remove_all(folder, ignored);
    }
};

void go(Hand& hand, const Action& action) {
    hand.bench().act(action);
    hand.look();
}

// A copy: the ledger folds a swap anew with every entry about it.
void steps(Hand& hand, const Swap swap) {
    go(hand, act::ResumeSwap{swap.id});
    for (Step6 step : {Step6::before, Step6::new_part, Step6::answer, Step6::set})
        if (reachable(hand.desk(), step)) go(hand, act::GoToStep{step});
    go(hand, act::GoToStep{Step6::before});
    for (const Asked& a : asked(swap, Phase::before)) {
        go(hand, act::OpenTag{{.of = Field::Of::reading, .phase = Phase::before, .point = a.point, .end = a.end}});
        go(hand, act::CloseTag{});
    }
}

void walk(Hand& hand) {
    const Ledger& ledger = hand.desk().ledger;
    go(hand, act::SetPerson{ledger.people().front()->id});
    go(hand, act::Go{Screen::bikes, {}});
    go(hand, act::Go{Screen::settings, {}});
    go(hand, act::Go{Screen::people, {}});
    for (const Bike* bike : ledger.bikes()) {
        go(hand, act::Go{Screen::bike, bike->id});
        go(hand, act::EditBike{bike->id});
        go(hand, act::OpenTag{{.of = Field::Of::bike, .bike = BikeField::note}});
        go(hand, act::CloseTag{});
        go(hand, act::Back{});
        go(hand, act::Go{Screen::baselines, bike->id});
        if (const Baseline* newest = ledger.newest_baseline(bike->id)) go(hand, act::Go{Screen::baseline, newest->id});
        if (const Swap* open = ledger.open_swap(bike->id)) steps(hand, *open);
    }
}

}  // namespace

TEST_CASE("every screen of the demo season, on three glasses, at 80, 100 and 200 % text") {
    const DemoYear season;
    for (const Glass& glass : glasses)
        for (const int percent : {80, 100, 200}) {
            CAPTURE(glass.width_px);
            CAPTURE(glass.height_px);
            CAPTURE(percent);
            Hand hand(glass, season.file);
            go(hand, act::SetLook{false, percent});
            walk(hand);
        }
}
