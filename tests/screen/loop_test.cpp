// The loop and the translation of SDL's events, on SDL's dummy driver: an invisible window, real event
// queues.
#include <SDL.h>
#include <doctest/doctest.h>

#include <chrono>
#include <cmath>
#include <string>
#include <thread>
#include <vector>

#include "platform/desktop/loop.h"
#include "platform/desktop/picture.h"
#include "tests/screen/paint_context.h"

using namespace restand;
using restand::test::PaintContext;
using Kind = PointerEvent::Kind;

namespace {

// Records its events; wants frames only when the test says so.
class Listener : public Host {
public:
    void handle(const Event& event) override { heard.push_back(event); }
    bool wants_frame() const override { return wanted > 0; }
    ImDrawData* frame(double seconds) override {
        times.push_back(seconds);
        if (wanted > 0) --wanted;
        return ink.frame([](ImDrawList& l) { l.AddRectFilled({0, 0}, {50, 50}, IM_COL32_WHITE); });
    }
    bool wants_text() const override { return false; }

    template <class T>
    std::vector<T> all() const {
        std::vector<T> found;
        for (const Event& e : heard) {
            if (const T* it = std::get_if<T>(&e)) found.push_back(*it);
        }
        return found;
    }

    PaintContext ink;
    int wanted = 0;
    std::vector<Event> heard;
    std::vector<double> times;
};

// A loop on a window of 400 × 200 pixels, its first frame drawn and its opening events read.
struct LoopBench {
    LoopBench() {
        SDL_setenv("SDL_VIDEODRIVER", "dummy", 1);
        auto opened = Window::open("restand test", 400, 200);
        REQUIRE_MESSAGE(opened.has_value(), opened.error().detail);
        window = std::move(opened).value();
        loop = std::make_unique<Loop>(listener, *window);
        for (int i = 0; i < 5; ++i) turn();
        first_frames = loop->frames();
        listener.heard.clear();
    }

    bool turn() { return loop->step(1); }
    long frames() const { return loop->frames() - first_frames; }

    void finger(Uint32 type, long long id, float x_px, float y_px, SDL_TouchID device = 7) {
        SDL_Event e{};
        e.type = type;
        e.tfinger.touchId = device;
        e.tfinger.fingerId = id;
        e.tfinger.x = x_px / 400;
        e.tfinger.y = y_px / 200;
        SDL_PushEvent(&e);
    }

    void button(Uint32 type, int x, int y, Uint8 which_button = SDL_BUTTON_LEFT, Uint32 mouse = 0) {
        SDL_Event e{};
        e.type = type;
        e.button.which = mouse;
        e.button.button = which_button;
        e.button.x = x;
        e.button.y = y;
        SDL_PushEvent(&e);
    }

    void key(SDL_Keycode code, int mod = KMOD_NONE) {
        SDL_Event e{};
        e.type = SDL_KEYDOWN;
        e.key.keysym.sym = code;
        e.key.keysym.mod = static_cast<Uint16>(mod);
        SDL_PushEvent(&e);
    }

    void window_event(SDL_WindowEventID id) {
        SDL_Event e{};
        e.type = SDL_WINDOWEVENT;
        e.window.event = static_cast<Uint8>(id);
        SDL_PushEvent(&e);
    }

    // Kinds of the received pointer events, as letters: d(own) m(ove) u(p) c(ancel).
    std::string pointer() const {
        std::string kinds;
        for (const auto& e : listener.all<PointerEvent>()) kinds += "dmuc"[static_cast<int>(e.kind)];
        return kinds;
    }

    Listener listener;
    std::unique_ptr<Window> window;
    std::unique_ptr<Loop> loop;
    long first_frames = 0;
};

}  // namespace

TEST_CASE("loop: the first turn draws, an idle loop draws no frame at all") {
    LoopBench b;
    CHECK(b.first_frames >= 1);
    for (int i = 0; i < 50; ++i) CHECK(b.turn());
    CHECK(b.frames() == 0);
    CHECK(b.listener.heard.empty());
}

TEST_CASE("loop: as many frames as the stage wants, on a clock that does not go back") {
    LoopBench b;
    b.listener.wanted = 3;
    for (int i = 0; i < 10; ++i) b.turn();
    CHECK(b.frames() == 3);
    for (std::size_t i = 1; i < b.listener.times.size(); ++i)
        CHECK(b.listener.times[i] >= b.listener.times[i - 1]);
}

TEST_CASE("loop: an event that changes nothing costs no frame") {
    LoopBench b;
    b.button(SDL_MOUSEBUTTONDOWN, 10, 10);
    b.turn();
    CHECK(b.listener.heard.size() == 1);
    CHECK(b.frames() == 0);
}

TEST_CASE("loop: an idle turn sleeps as long as it may") {
    LoopBench b;
    const auto start = std::chrono::steady_clock::now();
    b.loop->step(60);
    CHECK(std::chrono::steady_clock::now() - start >= std::chrono::milliseconds(50));
}

TEST_CASE("loop: a worker's wake ends the sleep and is heard once") {
    LoopBench b;
    std::thread worker([] {
        std::this_thread::sleep_for(std::chrono::milliseconds(30));
        CHECK(wake());
    });
    const auto start = std::chrono::steady_clock::now();
    b.loop->step(20'000);
    const auto slept = std::chrono::steady_clock::now() - start;
    worker.join();
    CHECK(b.listener.all<WakeEvent>().size() == 1);
    CHECK(slept < std::chrono::seconds(10));
}

TEST_CASE("loop: closing the window or the program ends it, after what came before was heard") {
    for (const bool by_window : {true, false}) {
        LoopBench b;
        b.key(SDLK_RETURN);
        if (by_window) {
            b.window_event(SDL_WINDOWEVENT_CLOSE);
        } else {
            SDL_Event quit{};
            quit.type = SDL_QUIT;
            SDL_PushEvent(&quit);
        }
        CHECK_FALSE(b.turn());
        CHECK(b.listener.all<KeyEvent>().size() == 1);
    }
}

TEST_CASE("loop: a glass that was covered is drawn again without asking the stage") {
    LoopBench b;
    b.window_event(SDL_WINDOWEVENT_EXPOSED);
    b.turn();
    b.turn();
    CHECK(b.frames() == 1);
    CHECK(b.listener.heard.empty());
}

TEST_CASE("loop: a new size reaches the stage and is drawn") {
    LoopBench b;
    SDL_Window* window = SDL_GetWindowFromID(1);
    for (Uint32 id = 1; !window && id < 1000; ++id) window = SDL_GetWindowFromID(id);
    REQUIRE(window);
    SDL_SetWindowSize(window, 300, 500);
    b.turn();
    const auto sizes = b.listener.all<ResizeEvent>();
    REQUIRE(!sizes.empty());
    CHECK(sizes.back().viewport.width_px == 300);
    CHECK(sizes.back().viewport.height_px == 500);
    CHECK(b.frames() >= 1);
}

TEST_CASE("picture: of a stage at rest, on the glass it was told") {
    Listener listener;
    listener.wanted = 5;
    const auto picture = picture_of(listener, {200, 120, 6.5f});
    REQUIRE(picture.has_value());
    CHECK(picture->width == 200);
    CHECK(listener.wanted == 0);
    CHECK(listener.times.size() == 5);
    CHECK(listener.all<ResizeEvent>().back().viewport.px_per_mm == 6.5f);
    CHECK(picture->rgba[0] == 255);  // the white square in the corner
    CHECK(picture->rgba[4 * (60 * 200 + 60)] == 0);

    listener.wanted = 1000;  // never idle: there is a picture all the same
    CHECK(picture_of(listener, {200, 120, 6.5f}).has_value());
    CHECK(listener.times.size() == 35);
}

TEST_CASE("pointer: a finger's touch is one tap, where the finger was") {
    LoopBench b;
    b.finger(SDL_FINGERDOWN, 1, 100, 50);
    b.finger(SDL_FINGERUP, 1, 100, 50);
    b.turn();
    const auto heard = b.listener.all<PointerEvent>();
    REQUIRE(b.pointer() == "du");
    CHECK(b.listener.heard.size() == 2);  // the finger produced no mouse event
    CHECK(heard[0].x == doctest::Approx(100));
    CHECK(heard[0].y == doctest::Approx(50));
    CHECK(heard[0].touch);
}

TEST_CASE("pointer: the mouse takes the same path") {
    LoopBench b;
    b.button(SDL_MOUSEBUTTONDOWN, 30, 40);
    b.button(SDL_MOUSEBUTTONUP, 31, 42);
    b.turn();
    const auto heard = b.listener.all<PointerEvent>();
    REQUIRE(b.pointer() == "du");
    CHECK(heard[1].x == 31);
    CHECK(heard[1].y == 42);
    CHECK_FALSE(heard[0].touch);
}

TEST_CASE("pointer: other buttons, and mouse events made of touches, are not heard") {
    LoopBench b;
    b.button(SDL_MOUSEBUTTONDOWN, 30, 40, SDL_BUTTON_RIGHT);
    b.button(SDL_MOUSEBUTTONUP, 30, 40, SDL_BUTTON_RIGHT);
    b.button(SDL_MOUSEBUTTONDOWN, 30, 40, SDL_BUTTON_LEFT, SDL_TOUCH_MOUSEID);
    b.turn();
    CHECK(b.listener.heard.empty());
}

TEST_CASE("pointer: while a finger is down the mouse is not heard, and SDL makes no mouse of a touch") {
    LoopBench b;
    b.finger(SDL_FINGERDOWN, 1, 100, 50);
    b.button(SDL_MOUSEBUTTONDOWN, 30, 40);
    b.button(SDL_MOUSEBUTTONUP, 30, 40);
    b.finger(SDL_FINGERUP, 1, 100, 50);
    b.turn();
    REQUIRE(b.pointer() == "du");
    CHECK(b.listener.all<PointerEvent>().back().touch);
    // Only the system's own touch events would show this, so the test checks the hint itself.
    CHECK(SDL_GetHintBoolean(SDL_HINT_TOUCH_MOUSE_EVENTS, SDL_TRUE) == SDL_FALSE);
    CHECK(SDL_GetHintBoolean(SDL_HINT_MOUSE_TOUCH_EVENTS, SDL_TRUE) == SDL_FALSE);
}

TEST_CASE("pointer: a second finger makes a pinch and never a tap") {
    LoopBench b;
    b.finger(SDL_FINGERDOWN, 1, 100, 100);
    b.finger(SDL_FINGERDOWN, 2, 200, 100);
    b.finger(SDL_FINGERMOTION, 2, 300, 100);
    b.finger(SDL_FINGERUP, 1, 100, 100);
    b.finger(SDL_FINGERMOTION, 2, 320, 100);
    b.finger(SDL_FINGERDOWN, 3, 50, 50);  // nothing is pressed until all fingers are up
    b.finger(SDL_FINGERUP, 3, 50, 50);
    b.finger(SDL_FINGERUP, 2, 320, 100);
    b.turn();
    CHECK(b.pointer() == "dc");
    const auto pinches = b.listener.all<PinchEvent>();
    REQUIRE(pinches.size() == 2);
    CHECK(pinches[0].factor == 1.0f);
    CHECK(pinches[0].x == doctest::Approx(150));
    CHECK(pinches[1].factor == doctest::Approx(2.0));
    CHECK(pinches[1].x == doctest::Approx(200));

    b.listener.heard.clear();
    b.finger(SDL_FINGERDOWN, 4, 10, 10);
    b.finger(SDL_FINGERUP, 4, 10, 10);
    b.turn();
    CHECK(b.pointer() == "du");
}

TEST_CASE("pointer: a third finger changes nothing") {
    LoopBench b;
    b.finger(SDL_FINGERDOWN, 1, 100, 100);
    b.finger(SDL_FINGERDOWN, 2, 200, 100);
    b.finger(SDL_FINGERDOWN, 3, 300, 100);
    b.finger(SDL_FINGERMOTION, 3, 320, 100);
    b.finger(SDL_FINGERUP, 3, 320, 100);
    b.turn();
    CHECK(b.pointer() == "dc");
    CHECK(b.listener.all<PinchEvent>().size() == 1);
}

TEST_CASE("pointer: losing the focus ends the press, and the next touch is a tap again") {
    LoopBench b;
    b.finger(SDL_FINGERDOWN, 1, 100, 100);
    b.window_event(SDL_WINDOWEVENT_FOCUS_LOST);
    b.finger(SDL_FINGERUP, 1, 100, 100);
    b.finger(SDL_FINGERDOWN, 2, 100, 100);
    b.finger(SDL_FINGERUP, 2, 100, 100);
    b.turn();
    CHECK(b.pointer() == "dcdu");
}

TEST_CASE("pointer: a release that got lost does not block the next tap") {
    LoopBench b;
    b.finger(SDL_FINGERDOWN, 1, 100, 100);
    b.finger(SDL_FINGERDOWN, 1, 20, 20);
    b.finger(SDL_FINGERUP, 1, 20, 20);
    b.turn();
    CHECK(b.pointer() == "dcdu");
}

TEST_CASE("pointer: the mouse leaving clears the pointer unless a button is held") {
    LoopBench b;
    b.window_event(SDL_WINDOWEVENT_LEAVE);
    b.turn();
    CHECK(b.pointer() == "c");
    b.button(SDL_MOUSEBUTTONDOWN, 30, 40);
    b.window_event(SDL_WINDOWEVENT_LEAVE);
    b.turn();
    CHECK(b.pointer() == "cd");
}

TEST_CASE("keys: both Enters, back-tab and undo; a letter is no key") {
    LoopBench b;
    b.key(SDLK_KP_ENTER);
    b.key(SDLK_RETURN);
    b.key(SDLK_TAB, KMOD_LSHIFT);
    b.key(SDLK_z, KMOD_LCTRL);
    b.key(SDLK_z);
    b.key(SDLK_a);
    b.turn();
    std::vector<Key> keys;
    for (const auto& e : b.listener.all<KeyEvent>()) keys.push_back(e.key);
    CHECK(keys == std::vector{Key::enter, Key::enter, Key::back_tab, Key::undo});
}

TEST_CASE("text: what a gauge types arrives in order, its Enter last") {
    LoopBench b;
    CHECK(SDL_IsTextInputActive() == SDL_TRUE);
    for (const char* typed : {"3", "1", "2", ",", "5", "\xC2\xBD"}) {
        SDL_Event e{};
        e.type = SDL_TEXTINPUT;
        SDL_strlcpy(e.text.text, typed, sizeof e.text.text);
        SDL_PushEvent(&e);
    }
    b.key(SDLK_RETURN);
    b.turn();
    std::string text;
    for (const auto& e : b.listener.all<TextEvent>()) text += e.text;
    CHECK(text == "312,5\xC2\xBD");
    CHECK(std::holds_alternative<KeyEvent>(b.listener.heard.back()));
}

TEST_CASE("wheel: notches keep their direction, also when the system turns it round") {
    LoopBench b;
    for (const Uint32 direction : {SDL_MOUSEWHEEL_NORMAL, SDL_MOUSEWHEEL_FLIPPED}) {
        SDL_Event e{};
        e.type = SDL_MOUSEWHEEL;
        e.wheel.preciseY = 1.5f;
        e.wheel.direction = direction;
        SDL_PushEvent(&e);
    }
    b.turn();
    const auto wheels = b.listener.all<WheelEvent>();
    REQUIRE(wheels.size() == 2);
    CHECK(wheels[0].dy == 1.5f);
    CHECK(wheels[1].dy == -1.5f);
}

TEST_CASE(
    "glass: the density comes from the display, a tablet's when that is nonsense, or from the environment") {
    SDL_setenv("RESTAND_PX_PER_MM", "", 1);
    CHECK(px_per_mm(254.0f) == doctest::Approx(10.0));
    CHECK(px_per_mm(0.0f) == doctest::Approx(149.0 / 25.4));
    CHECK(px_per_mm(5000.0f) == doctest::Approx(149.0 / 25.4));
    CHECK(px_per_mm(NAN) == doctest::Approx(149.0 / 25.4));
    SDL_setenv("RESTAND_PX_PER_MM", "8.5", 1);
    CHECK(px_per_mm(254.0f) == doctest::Approx(8.5));
    SDL_setenv("RESTAND_PX_PER_MM", "bananas", 1);
    CHECK(px_per_mm(254.0f) == doctest::Approx(10.0));
    SDL_setenv("RESTAND_PX_PER_MM", "", 1);
}
