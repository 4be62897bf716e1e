// How long from the start to the first frame with 20 000 readings in the file, fonts and all; and what the
// app does while nobody touches it: nothing.

#include <cstdlib>

#include "platform/desktop/loop.h"
#include "platform/session.h"
#include "tests/bench/season.h"

using namespace restand;

namespace {

constexpr Viewport tablet{1280, 800, 5.87f};

bool start(const std::string& file) {
    return bench::report("start to first frame, 20 000 readings",
                         bench::times(9,
                                      [&](int) {
                                          const auto session = bench::must(Session::open(file, tablet, {}));
                                          session->frame(0);
                                      }),
                         200);
}

// Three seconds of a real loop on SDL's dummy driver.
bool idle(const std::string& file) {
    ::setenv("SDL_VIDEODRIVER", "dummy", 1);
    const auto window = bench::must(Window::open("bench", tablet.width_px, tablet.height_px));
    const auto session = bench::must(Session::open(file, tablet, [] { wake(); }));
    Loop loop(*session, *window);
    const bench::Moment warm = bench::now();
    while (bench::ms_since(warm) < 500) loop.step(50);
    const long before = loop.frames();
    const bench::Moment begin = bench::now();
    while (bench::ms_since(begin) < 3000) loop.step(50);
    const long drawn = loop.frames() - before;
    std::printf("frames drawn in 3 s of idling: %ld   limit 0%s\n", drawn, drawn == 0 ? "" : "   BEYOND");
    return drawn == 0;
}

}  // namespace

int main() {
    const bench::Folder folder;
    bench::make_season(folder / "season.restand", 20'000);
    const bool fine = start(folder / "season.restand");
    return idle(folder / "season.restand") && fine ? 0 : 1;
}
