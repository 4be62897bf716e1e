// What does a frame cost the app, from the action to finished draw lists, without the pixels?
// The demo season's open swap, on the screens a person is on while working.

#include "demo/season.h"
#include "platform/workbench.h"
#include "tests/bench/bench.h"

using namespace restand;

namespace {

constexpr Glass tablet{1280, 800, 5.87f};
constexpr double limit = 1.0;

void still(Workbench& bench) {
    bench.settle();
    while (bench.wants_frame()) bench.frame(0);
}

}  // namespace

int main() {
    const bench::Folder folder;
    (void)bench::must(make_demo(folder / "demo.restand"));
    const auto bench = bench::must(Workbench::open(folder / "demo.restand", tablet, {}));
    const Ledger& ledger = bench->app().desk().ledger;
    bench->act(act::SetPerson{ledger.people().front()->id});
    const Swap* swap = nullptr;
    for (const Bike* bike : ledger.bikes())
        if (const Swap* open = ledger.open_swap(bike->id); open && open->has(SwapPart::shock)) swap = open;
    check(swap != nullptr, "the demo has an open shock swap");
    bench->act(act::ResumeSwap{swap->id});
    still(*bench);
    App& app = bench->app();
    bool fine = true;
    const auto drawn = [&](int) { app.frame(0); };
    fine &= bench::report("answer: the same frame again", bench::times(500, drawn), limit);
    bench->act(act::GoToStep{Step6::before});
    still(*bench);
    fine &= bench::report("before: the same frame again", bench::times(500, drawn), limit);
    bench->act(act::OpenTag{{.of = Field::Of::reading, .phase = Phase::before, .point = Point::eye_to_eye}});
    still(*bench);
    fine &= bench::report(
        "pad: a digit typed, view and frame",
        bench::times(500,
                     [&](int i) {
                         app.act(i % 4 == 3 ? Action{act::PadErase{}} : Action{act::PadText{"3"}});
                         app.frame(0);
                     }),
        limit);
    bench->act(act::CloseTag{});
    bench->act(act::CloseTag{});
    still(*bench);
    fine &= bench::report("another screen: view, new drawing, frame",
                          bench::times(60,
                                       [&](int i) {
                                           app.act(act::Go{i % 2 ? Screen::swap : Screen::bikes, {}});
                                           app.frame(0);
                                       }),
                          limit);
    return fine ? 0 : 1;
}
