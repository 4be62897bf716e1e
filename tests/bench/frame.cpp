// What does a frame cost the app, from the action to finished draw lists, without the pixels?
// The demo season's open swap, on the screens a person is on while working.

#include "demo/season.h"
#include "platform/session.h"
#include "tests/bench/bench.h"

using namespace restand;

namespace {

constexpr Viewport tablet{1280, 800, 5.87f};
constexpr double limit = 1.0;

void still(Session& session) {
    session.settle();
    while (session.wants_frame()) session.frame(0);
}

}  // namespace

int main() {
    const bench::Folder folder;
    (void)bench::must(make_demo(folder / "demo.restand"));
    const auto session = bench::must(Session::open(folder / "demo.restand", tablet, {}));
    const Ledger& ledger = session->app().state().ledger;
    session->act(act::SetPerson{ledger.people().front()->id});
    const Swap* swap = nullptr;
    for (const Bike* bike : ledger.bikes())
        if (const Swap* open = ledger.open_swap(bike->id); open && open->has(SwapPart::shock)) swap = open;
    check(swap != nullptr, "the demo has an open shock swap");
    session->act(act::ResumeSwap{swap->id});
    still(*session);
    App& app = session->app();
    bool fine = true;
    const auto drawn = [&](int) { app.frame(0); };
    fine &= bench::report("answer: the same frame again", bench::times(500, drawn), limit);
    session->act(act::GoToStep{Step6::before});
    still(*session);
    fine &= bench::report("before: the same frame again", bench::times(500, drawn), limit);
    session->act(
        act::OpenTag{{.of = Field::Of::reading, .phase = Phase::before, .point = Point::eye_to_eye}});
    still(*session);
    fine &= bench::report(
        "pad: a digit typed, view and frame",
        bench::times(500,
                     [&](int i) {
                         app.act(i % 4 == 3 ? Action{act::PadErase{}} : Action{act::PadText{"3"}});
                         app.frame(0);
                     }),
        limit);
    session->act(act::CloseTag{});
    session->act(act::CloseTag{});
    still(*session);
    fine &= bench::report("another screen: view, new drawing, frame",
                          bench::times(60,
                                       [&](int i) {
                                           app.act(act::Go{i % 2 ? Screen::swap : Screen::bikes, {}});
                                           app.frame(0);
                                       }),
                          limit);
    return fine ? 0 : 1;
}
