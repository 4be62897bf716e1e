// As with a GPU: the picture is kept on a texture, and only what changed is drawn on it. With the renderer that
// SDL finds on a virtual display; without a GPU that is the system's own OpenGL.
#include <SDL.h>
#include <doctest/doctest.h>

#include <cstdlib>
#include <vector>

#include "demo/season.h"
#include "platform/desktop/renderer.h"
#include "platform/session.h"
#include "tests/killed/virtual_display.h"
#include "tests/store/workshop.h"

using namespace restand;

namespace {

constexpr int width = 1280, height = 800;

// A texture of the window's size as target; what it holds, as 0xAARRGGBB.
struct Target {
    SDL_Renderer* renderer;
    SDL_Texture* texture;

    explicit Target(SDL_Renderer* on)
        : renderer(on),
          texture(SDL_CreateTexture(on, SDL_PIXELFORMAT_ARGB8888, SDL_TEXTUREACCESS_TARGET, width, height)) {
        REQUIRE(texture);
    }
    void begin() const { REQUIRE(SDL_SetRenderTarget(renderer, texture) == 0); }
    std::vector<Uint32> pixels() const {
        begin();
        std::vector<Uint32> all(static_cast<std::size_t>(width) * height);
        REQUIRE(SDL_RenderReadPixels(renderer, nullptr, SDL_PIXELFORMAT_ARGB8888, all.data(), 4 * width) ==
                0);
        for (Uint32& pixel : all) pixel &= 0xffffff;
        return all;
    }
};

// A page, its pad, digits, and back.
std::vector<Action> typed(const Ledger& ledger) {
    const Bike* bike = nullptr;
    for (const Bike* each : ledger.bikes())
        if (const Swap* open = ledger.open_swap(each->id); open && open->has(SwapPart::shock)) bike = each;
    REQUIRE(bike);
    std::vector<Action> all = {
        act::ResumeSwap{ledger.open_swap(bike->id)->id}, act::GoToStep{Step6::before},
        act::OpenTag{{.of = Field::Of::reading, .phase = Phase::before, .point = Point::eye_to_eye}}};
    for (const char* digit : {"3", "1", "2", ".", "5"}) all.emplace_back(act::PadText{digit});
    all.insert(all.end(),
               {act::PadErase{}, act::CloseTag{}, act::Go{Screen::bike, bike->id}, act::ShowChain{bike->id}});
    return all;
}

}  // namespace

TEST_CASE("redraw: on a texture, too, digits and pages give the pixels of a whole drawing") {
    const test::VirtualDisplay display(width + 20, height + 20);
    ::setenv("DISPLAY", display.name().c_str(), 1);
    ::setenv("SDL_VIDEODRIVER", "x11", 1);
    REQUIRE(SDL_InitSubSystem(SDL_INIT_VIDEO) == 0);
    SDL_Window* window = SDL_CreateWindow("redraw", 0, 0, width, height, 0);
    SDL_Renderer* on = SDL_CreateRenderer(window, -1, SDL_RENDERER_TARGETTEXTURE);
    REQUIRE(on);
    {
        const test::Folder folder;
        REQUIRE(make_demo(folder("demo.restand")).has_value());
        auto session = test::got(Session::open(folder("demo.restand"), {width, height, 5.87f}, {}));
        session->act(act::SetPerson{session->app().state().ledger.people().front()->id});
        const Target kept(on), whole(on);
        Renderer redrawn(*on), drawn(*on);
        int partial = 0;
        for (const Action& action : typed(session->app().state().ledger)) {
            session->act(action);
            session->settle();
            const ImDrawData* frame = session->frame(0);
            kept.begin();
            REQUIRE(redrawn.redraw(*frame));
            partial += redrawn.redrawn() != std::vector<PixelRect>{{0, 0, width, height}};
            whole.begin();
            SDL_SetRenderDrawColor(on, 0, 0, 0, 255);
            SDL_RenderClear(on);
            REQUIRE(drawn.draw(*frame));
            CHECK(kept.pixels() == whole.pixels());
        }
        CHECK(partial >= 5);  // the digits
    }
    SDL_DestroyRenderer(on);
    SDL_DestroyWindow(window);
    SDL_QuitSubSystem(SDL_INIT_VIDEO);
}
