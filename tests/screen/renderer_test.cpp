// The renderer against pixels worked out by hand. imgui.h ("ImDrawCmd") defines what a draw command means.
#include <SDL.h>
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>

#include "platform/desktop/picture.h"
#include "platform/desktop/renderer.h"
#include "tests/screen/paint_context.h"

#define STB_IMAGE_STATIC
#define STB_IMAGE_IMPLEMENTATION
#define STBI_ONLY_PNG
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wunused-function"
#include <stb_image.h>
#pragma GCC diagnostic pop

using namespace restand;
using restand::test::PaintContext;

namespace {

using Pixel = std::array<int, 3>;
constexpr Viewport small_viewport{200, 120, 5.87f};
constexpr Pixel black{0, 0, 0}, red{255, 0, 0}, white{255, 255, 255};

Pixel at(const Picture& picture, int x, int y) {
    const unsigned char* p = picture.rgba.data() + 4 * (static_cast<std::ptrdiff_t>(y) * picture.width + x);
    return {p[0], p[1], p[2]};
}

// Share of a rectangle that is not black: 0 none, 1 all white.
double ink_in(const Picture& picture, int x0, int y0, int x1, int y1) {
    double sum = 0;
    for (int y = y0; y < y1; ++y) {
        for (int x = x0; x < x1; ++x) sum += at(picture, x, y)[1] / 255.0;
    }
    return sum / ((x1 - x0) * (y1 - y0));
}

Picture drawn(const ImDrawData* data) {
    auto picture = render(data, small_viewport);
    REQUIRE_MESSAGE(picture.has_value(), picture.error().detail);
    return std::move(picture).value();
}

// The largest difference of any colour of any pixel, out of 255.
int difference(const Picture& a, const Picture& b) {
    REQUIRE(a.rgba.size() == b.rgba.size());
    int largest = 0;
    for (std::size_t i = 0; i < a.rgba.size(); ++i)
        largest = std::max(largest, std::abs(a.rgba[i] - b.rgba[i]));
    return largest;
}

void hello(ImDrawList& list) {
    list.AddText({20, 40}, IM_COL32_WHITE, "312.5 mm \xC2\xB1 0.1");
}

}  // namespace

TEST_CASE("renderer: a filled rectangle covers its pixels and no other") {
    PaintContext ink;
    const Picture p = drawn(ink.frame([](ImDrawList& l) {
        l.AddRectFilled({20, 30}, {80, 70}, IM_COL32(255, 0, 0, 255));
    }));
    REQUIRE(p.width == 200);
    REQUIRE(p.height == 120);
    int count = 0;
    for (int y = 0; y < p.height; ++y) {
        for (int x = 0; x < p.width; ++x) {
            const bool inside = x >= 20 && x < 80 && y >= 30 && y < 70;
            if (at(p, x, y) == (inside ? red : black)) ++count;
        }
    }
    CHECK(count == 200 * 120);
}

TEST_CASE("renderer: the clip rectangle holds, and only for its own command") {
    PaintContext ink;
    const Picture p = drawn(ink.frame([](ImDrawList& l) {
        l.PushClipRect({40, 40}, {60, 60});
        l.AddRectFilled({0, 0}, {200, 120}, IM_COL32(255, 0, 0, 255));
        l.PopClipRect();
        l.AddRectFilled({100, 0}, {110, 10}, IM_COL32_WHITE);
    }));
    CHECK(at(p, 40, 40) == red);
    CHECK(at(p, 59, 59) == red);
    CHECK(at(p, 39, 40) == black);
    CHECK(at(p, 60, 59) == black);
    CHECK(at(p, 40, 60) == black);
    CHECK(at(p, 105, 5) == white);
}

TEST_CASE("renderer: a clip rectangle off the glass draws nothing") {
    PaintContext ink;
    const Picture p = drawn(ink.frame([](ImDrawList& l) {
        l.PushClipRect({-50, -50}, {-10, 500});
        l.AddRectFilled({-100, -100}, {400, 400}, IM_COL32_WHITE);
        l.PopClipRect();
    }));
    CHECK(ink_in(p, 0, 0, 200, 120) == 0);
}

TEST_CASE("renderer: half an opacity gives half the light, within one step of 255") {
    PaintContext ink;
    const Picture p = drawn(ink.frame([](ImDrawList& l) {
        l.AddRectFilled({0, 0}, {50, 50}, IM_COL32(255, 255, 255, 128));
    }));
    CHECK(std::abs(at(p, 25, 25)[0] - 128) <= 1);
}

TEST_CASE("renderer: text is drawn from the atlas where ImGui measured it") {
    PaintContext ink;
    const ImDrawData* data = ink.frame(hello);
    const ImVec2 size = ImGui::GetIO().Fonts->Fonts[0]->CalcTextSizeA(30, 1e9f, 0, "312.5 mm \xC2\xB1 0.1");
    const Picture p = drawn(data);
    const int right = 20 + static_cast<int>(std::ceil(size.x)),
              bottom = 40 + static_cast<int>(std::ceil(size.y));
    CHECK(right < 250);
    // Letters cover a part of their box: neither nothing nor a solid block (a missing atlas gives one or the
    // other).
    const double density = ink_in(p, 20, 40, std::min(right, 200), bottom);
    CHECK(density > 0.05);
    CHECK(density < 0.5);
    CHECK(ink_in(p, 0, 0, 200, 40) == 0);
    CHECK(ink_in(p, 0, bottom, 200, 120) == 0);
    for (std::size_t i = 3; i < p.rgba.size(); i += 4) REQUIRE(p.rgba[i] == 255);
}

TEST_CASE("renderer: a rebuilt atlas is sent again") {
    PaintContext ink;
    const ImDrawData* data = ink.frame(hello);
    SDL_Surface* surface = SDL_CreateRGBSurfaceWithFormat(0, 200, 120, 32, SDL_PIXELFORMAT_RGBA32);
    SDL_Renderer* target = SDL_CreateSoftwareRenderer(surface);
    REQUIRE(target);
    Picture second;
    {
        Renderer renderer(*target);
        REQUIRE(renderer.draw(*data));
        CHECK_FALSE(SDL_RenderIsClipEnabled(target));
        ink.set_font(24);
        data = ink.frame(hello);
        SDL_SetRenderDrawColor(target, 0, 0, 0, 255);
        SDL_RenderClear(target);
        REQUIRE(renderer.draw(*data));
        SDL_RenderFlush(target);
        const auto* bytes = static_cast<const unsigned char*>(surface->pixels);
        second = {200, 120, {bytes, bytes + 4 * 200 * 120}};
        for (std::size_t i = 3; i < second.rgba.size(); i += 4) second.rgba[i] = 255;  // opaque pictures
    }
    SDL_DestroyRenderer(target);
    SDL_FreeSurface(surface);
    // Compared with a renderer that never saw the first atlas.
    CHECK(second == drawn(data));
}

TEST_CASE("renderer: the same frame gives the same pixels, however often it is drawn") {
    PaintContext ink;
    const ImDrawData* data = ink.frame(hello);
    const Picture first = drawn(data);
    CHECK(first == drawn(data));
    CHECK(first == drawn(ink.frame(hello)));
}

TEST_CASE("renderer: a picture of a display that does not start at 0,0 starts at its corner") {
    PaintContext ink;
    ImDrawData* data = ink.frame([](ImDrawList& l) {
        l.AddRectFilled({20, 30}, {80, 70}, IM_COL32(255, 0, 0, 255));
    });
    data->DisplayPos = {10, 20};
    const Picture p = drawn(data);
    CHECK(at(p, 10, 10) == red);
    CHECK(at(p, 9, 10) == black);
    CHECK(at(p, 70, 49) == black);
    CHECK(p == drawn(data));
}

TEST_CASE("renderer: more vertices than a 16-bit index counts are drawn by their offset") {
    PaintContext ink;
    const Picture p = drawn(ink.frame([](ImDrawList& l) {
        for (int i = 0; i < 20000; ++i) l.AddRectFilled({0, 0}, {1, 1}, IM_COL32(255, 0, 0, 255));
        l.AddRectFilled({150, 100}, {160, 110}, IM_COL32_WHITE);
    }));
    CHECK(at(p, 0, 0) == red);
    CHECK(at(p, 155, 105) == white);
    CHECK(at(p, 149, 105) == black);
}

TEST_CASE("renderer: the other face of the typeface can be read") {
    // An OpenType file begins with 'OTTO' (CFF outlines) or 00010000 (TrueType): OpenType 1.9, "Font file".
    for (const auto face : {b612_regular(), b612_bold()}) {
        REQUIRE(face.size() > 10'000);
        const std::string tag(face.begin(), face.begin() + 4);
        CHECK((tag == "OTTO" || tag == std::string("\0\1\0\0", 4)));
    }
    CHECK(b612_regular().data() != b612_bold().data());
}

TEST_CASE("picture: drawn finer, letters stay as they are and a slanting edge comes nearer to its area") {
    PaintContext ink;
    ImGui::GetStyle().AntiAliasedFill = false;
    const ImDrawData* text = ink.frame(hello);
    const Picture plain = drawn(text);
    // SDL blends enlarged letters with another routine, which rounds differently: one step of 255.
    for (const int fineness : {2, 3, 4})
        CHECK(difference(plain, render(text, small_viewport, fineness).value()) <= 1);

    // The total brightness of a triangle is its area: half of base times height.
    const ImDrawData* data = ink.frame([](ImDrawList& l) {
        l.Flags &= ~ImDrawListFlags_AntiAliasedFill;
        l.AddTriangleFilled({10.5f, 10.5f}, {170.25f, 30.75f}, {60.5f, 110.25f}, IM_COL32_WHITE);
    });
    const double area = 0.5 * std::abs((170.25 - 10.5) * (110.25 - 10.5) - (60.5 - 10.5) * (30.75 - 10.5));
    const auto off = [&](int fineness) {
        return std::abs(ink_in(render(data, small_viewport, fineness).value(), 0, 0, 200, 120) * 200 * 120 -
                        area);
    };
    CHECK(off(4) < off(1));
    // At most half a pixel of the finer picture off along the outline, which is about 430 pixels long.
    CHECK(off(4) < 430 * 0.5 / 4);
    CHECK(render(data, small_viewport, 5).error().code == ErrorCode::out_of_range);
}

TEST_CASE("picture: a PNG read again holds the same pixels") {
    PaintContext ink;
    const Picture p = drawn(ink.frame(hello));
    const auto path = std::filesystem::temp_directory_path() / "restand-picture-test.png";
    REQUIRE(write_png(path, p).has_value());

    Picture again;
    int channels = 0;
    unsigned char* pixels = stbi_load(path.string().c_str(), &again.width, &again.height, &channels, 4);
    REQUIRE(pixels);
    again.rgba.assign(pixels, pixels + 4 * static_cast<std::ptrdiff_t>(again.width) * again.height);
    stbi_image_free(pixels);
    std::filesystem::remove(path);
    CHECK(channels == 4);
    CHECK(again == p);
}

TEST_CASE("picture: what cannot be done is said") {
    PaintContext ink;
    const ImDrawData* data = ink.frame(hello);
    CHECK(render(data, {0, 100, 5}).error().code == ErrorCode::out_of_range);
    CHECK(render(data, {100, 100'000, 5}).error().code == ErrorCode::out_of_range);
    CHECK(render(nullptr, small_viewport).error().code == ErrorCode::out_of_range);
    CHECK(write_png("x.png", {}).error().code == ErrorCode::out_of_range);
    const auto nowhere =
        write_png(std::filesystem::temp_directory_path() / "no-such-folder" / "x.png", drawn(data));
    REQUIRE_FALSE(nowhere.has_value());
    CHECK(nowhere.error().code == ErrorCode::io);
    CHECK(nowhere.error().detail == "No such file or directory");
}
