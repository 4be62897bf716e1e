// What does one typed digit cost in a window without a GPU, from the tap on its key to the pixels? Beside it, in
// the same run: clearing the whole window and presenting it, as SDL's software renderer does by itself.
// Needs Xvfb; without it nothing is measured. With RESTAND_BENCH_GPU set, SDL chooses how it draws.

#include <SDL.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <ctime>
#include <optional>

#include "demo/season.h"
#include "platform/desktop/loop.h"
#include "platform/session.h"
#include "tests/bench/bench.h"

using namespace restand;

namespace {

constexpr int width = 1280, height = 800, runs = 200;

// A display of its own, gone at the end.
class Display {
public:
    Display() {
        int ends[2];
        if (::pipe(ends) != 0) return;
        server_ = ::fork();
        if (server_ == 0) {
            ::close(ends[0]);
            ::dup2(::open("/dev/null", O_WRONLY), 2);
            const std::string fd = std::to_string(ends[1]);
            ::execlp("Xvfb", "Xvfb", "-displayfd", fd.c_str(), "-screen", "0", "1300x900x24", "-nolisten",
                     "tcp", "-noreset", static_cast<char*>(nullptr));
            ::_exit(127);
        }
        ::close(ends[1]);
        pollfd ready{ends[0], POLLIN, 0};
        char c = 0;
        while (::poll(&ready, 1, 10'000) > 0 && ::read(ends[0], &c, 1) == 1 && c != '\n') name += c;
        ::close(ends[0]);
    }
    ~Display() {
        if (server_ <= 0) return;
        ::kill(server_, SIGTERM);
        ::waitpid(server_, nullptr, 0);
    }
    Display(const Display&) = delete;
    std::string name;  // its number; empty: there is none

private:
    pid_t server_ = -1;
};

double processor_ms() {
    timespec t{};
    ::clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return 1e3 * static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_nsec);
}

struct Cost {
    std::vector<double> wall, processor;  // milliseconds

    template <class Work>
    void time(Work&& work) {
        const double start = processor_ms();
        const bench::Moment begin = bench::now();
        work();
        wall.push_back(bench::ms_since(begin));
        processor.push_back(processor_ms() - start);
    }
};

// First, median and worst apart, of the time that a person waits; the processor's beside it.
void print(const char* what, const Cost& cost) {
    std::printf("%-40s first %7.2f   median %6.2f   worst %7.2f ms   processor: median %6.2f ms\n", what,
                cost.wall.front(), bench::median(cost.wall),
                *std::max_element(cost.wall.begin(), cost.wall.end()), bench::median(cost.processor));
}

bool keep(const char* what, double measured, double limit, const char* unit) {
    std::printf("%-40s %.2f%s   limit %.2f%s%s\n", what, measured, unit, limit, unit,
                measured <= limit ? "" : "   BEYOND");
    return measured <= limit;
}

// As SDL presents a window by itself. `surface`: without its detour over a texture.
Cost clear_and_present(const char* surface) {
    SDL_SetHint(SDL_HINT_FRAMEBUFFER_ACCELERATION, surface);
    check(SDL_InitSubSystem(SDL_INIT_VIDEO) == 0, "the display can be used");
    SDL_Window* window = SDL_CreateWindow("bench", 0, 0, width, height, 0);
    SDL_Renderer* target = SDL_CreateRenderer(window, -1, SDL_RENDERER_SOFTWARE);
    check(target != nullptr, "SDL draws by software");
    Cost cost;
    for (int i = 0; i < runs; ++i)
        cost.time([&] {
            SDL_SetRenderDrawColor(target, static_cast<Uint8>(i), 0, 0, 255);
            SDL_RenderClear(target);
            SDL_RenderPresent(target);
        });
    SDL_DestroyRenderer(target);
    SDL_DestroyWindow(window);
    SDL_QuitSubSystem(SDL_INIT_VIDEO);
    return cost;
}

void open_pad(Session& session) {
    const Ledger& ledger = session.app().state().ledger;
    session.act(act::SetPerson{ledger.people().front()->id});
    const Swap* swap = nullptr;
    for (const Bike* bike : ledger.bikes())
        if (const Swap* open = ledger.open_swap(bike->id); open && open->has(SwapPart::shock)) swap = open;
    check(swap != nullptr, "the demo has an open shock swap");
    session.act(act::ResumeSwap{swap->id});
    session.act(act::GoToStep{Step6::before});
    session.act(act::OpenTag{{.of = Field::Of::reading, .phase = Phase::before, .point = Point::eye_to_eye}});
    session.settle();
}

void tap(Session& session, const char* key) {
    const auto at = session.app().screen().rect_of(key);
    check(at.has_value(), "the pad shows the key");
    for (const Uint32 type : {SDL_MOUSEBUTTONDOWN, SDL_MOUSEBUTTONUP}) {
        SDL_Event event{};
        event.type = type;
        event.button.button = SDL_BUTTON_LEFT;
        event.button.x = static_cast<int>(at->middle_x());
        event.button.y = static_cast<int>(at->middle_y());
        SDL_PushEvent(&event);
    }
}

// From the tap to the pixels, in the real loop.
Cost digits(Session& session, Loop& loop) {
    for (int i = 0; i < 40; ++i) loop.step(5);
    Cost cost;
    for (int i = 0; i < runs; ++i) {
        const long before = loop.frames();
        cost.time([&] {
            tap(session, i % 4 == 3 ? "key:erase" : "key:3");
            while (loop.frames() == before || session.wants_frame()) loop.step(0);
        });
        for (int rest = 0; rest < 3; ++rest) loop.step(1);
    }
    return cost;
}

// Drawing and presenting alone: what Window::show() costs.
Cost shows(Session& session, Window& window) {
    Cost cost;
    for (int i = 0; i < runs; ++i) {
        session.app().act(i % 4 == 3 ? Action{act::PadErase{}} : Action{act::PadText{"3"}});
        const ImDrawData* frame = session.app().frame(0);
        cost.time([&] { check(window.show(*frame), "the frame is shown"); });
    }
    return cost;
}

}  // namespace

int main() {
    const Display display;
    if (display.name.empty()) {
        std::printf("no Xvfb: one digit in a window is not measured\n");
        return 0;
    }
    ::setenv("DISPLAY", (":" + display.name).c_str(), 1);
    ::setenv("SDL_VIDEODRIVER", "x11", 1);
    const bool gpu = std::getenv("RESTAND_BENCH_GPU") != nullptr;  // whatever SDL finds, in place of software
    if (!gpu) ::setenv("SDL_RENDER_DRIVER", "software", 1);
    const Cost whole = clear_and_present("1"), straight = clear_and_present("0");
    print("clear + present, SDL's way", whole);
    print("clear + present, the surface alone", straight);

    const bench::Folder folder;
    (void)bench::must(make_demo(folder / "demo.restand"));
    const auto window = bench::must(Window::open("bench", width, height));
    const auto session =
        bench::must(Session::open(folder / "demo.restand", window->viewport(), [] { wake(); }));
    open_pad(*session);
    Loop loop(*session, *window);
    const Cost digit = digits(*session, loop), show = shows(*session, *window);
    print("one digit, from the tap to the pixels", digit);
    print("one digit, drawing alone", show);
    bool fine =
        keep("one digit / clear + present", bench::median(digit.wall) / bench::median(whole.wall), 1.2, "");
    fine &= keep("one digit / clear + present, processor",
                 bench::median(digit.processor) / bench::median(whole.processor), 1.2, "");
    fine &= keep("tap to pixels", bench::median(digit.wall), 16, " ms");
    // Twice what is measured. No limit hangs on the surface alone: clearing pixels that the display shares and
    // handing them over costs 0.1 ms, less than making the frame.
    fine &= keep("one digit, drawing alone, processor", bench::median(show.processor), 2, " ms");
    return fine ? 0 : 1;
}
