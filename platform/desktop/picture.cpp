#include "platform/desktop/picture.h"

#include <SDL.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <memory>
#include <string>
#include <utility>

#include "platform/desktop/renderer.h"

// The PNG encoder is compiled only here. Its header is a system header for the build, so that its warnings do
// not show.
#define STB_IMAGE_WRITE_STATIC
#define STB_IMAGE_WRITE_IMPLEMENTATION
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wunused-function"
#include <stb_image_write.h>
#pragma GCC diagnostic pop

namespace restand {
namespace {

constexpr int largest_side = 16384;
constexpr int frames_to_rest = 30;

Error refused(std::string subject, std::string why) {
    return {ErrorCode::io, std::move(subject), std::move(why)};
}

struct Free {
    void operator()(SDL_Surface* surface) const { SDL_FreeSurface(surface); }
    void operator()(SDL_Renderer* renderer) const { SDL_DestroyRenderer(renderer); }
};

// The mean of each square of `fineness`² pixels. The picture is opaque: the 253 that SDL's blending leaves in
// the opacity under letters is a rounding error, which a viewer of the PNG would show.
Picture averaged(const SDL_Surface& surface, int fineness) {
    Picture picture{surface.w / fineness, surface.h / fineness, {}};
    picture.rgba.reserve(4 * static_cast<std::size_t>(picture.width) *
                         static_cast<std::size_t>(picture.height));
    const auto* pixels = static_cast<const unsigned char*>(surface.pixels);
    const int count = fineness * fineness;
    for (int y = 0; y < picture.height; ++y) {
        for (int x = 0; x < picture.width; ++x) {
            std::array<int, 3> sum{};
            for (int i = 0; i < count; ++i) {
                const std::ptrdiff_t row = y * fineness + i / fineness, column = x * fineness + i % fineness;
                const unsigned char* from = pixels + surface.pitch * row + 4 * column;
                for (std::size_t c = 0; c < 3; ++c) sum[c] += from[c];
            }
            for (const int s : sum) {
                picture.rgba.push_back(static_cast<unsigned char>((s + count / 2) / count));
            }
            picture.rgba.push_back(255);
        }
    }
    return picture;
}

}  // namespace

Result<Picture> render(const ImDrawData* data, const Viewport& viewport, int fineness) {
    if (fineness < 1 || fineness > 4) return Error{ErrorCode::out_of_range, "fineness", "1 <= fineness <= 4"};
    const auto fits = [&](int side) { return side >= 1 && side <= largest_side / fineness; };
    if (!data || !fits(viewport.width_px) || !fits(viewport.height_px)) {
        return Error{ErrorCode::out_of_range, "picture", "1 <= side <= " + std::to_string(largest_side)};
    }

    const std::unique_ptr<SDL_Surface, Free> surface(SDL_CreateRGBSurfaceWithFormat(
        0, fineness * viewport.width_px, fineness * viewport.height_px, 32, SDL_PIXELFORMAT_RGBA32));
    if (!surface) return refused("picture", SDL_GetError());
    const std::unique_ptr<SDL_Renderer, Free> target(SDL_CreateSoftwareRenderer(surface.get()));
    if (!target) return refused("picture", SDL_GetError());

    SDL_SetRenderDrawColor(target.get(), 0, 0, 0, 255);
    SDL_RenderClear(target.get());
    SDL_RenderSetScale(target.get(), static_cast<float>(fineness), static_cast<float>(fineness));
    Renderer renderer(*target, fineness == 1);
    if (!renderer.draw(*data)) return refused("picture", SDL_GetError());
    // SDL batches its commands; without this the surface would still be empty.
    SDL_RenderFlush(target.get());
    return averaged(*surface, fineness);
}

Result<Picture> picture_of(Host& host, const Viewport& viewport, int fineness) {
    host.handle(ResizeEvent{viewport});
    // A separate clock, 60 frames a second: the picture is the same whenever it is taken.
    int drawn = 0;
    const ImDrawData* frame = host.frame(0);
    while (host.wants_frame() && ++drawn < frames_to_rest) frame = host.frame(drawn / 60.0);
    return render(frame, viewport, fineness);
}

Outcome write_png(const std::filesystem::path& path, const Picture& picture) {
    const auto pixels = static_cast<std::size_t>(picture.width) * static_cast<std::size_t>(picture.height);
    if (pixels == 0 || picture.rgba.size() != 4 * pixels) {
        return Error{ErrorCode::out_of_range, path.string(), "a picture of at least one pixel"};
    }

    std::ofstream file(path, std::ios::binary | std::ios::trunc);
    if (!file) return refused(path.string(), std::strerror(errno));
    const auto write = [](void* to, void* bytes, int count) {
        static_cast<std::ofstream*>(to)->write(static_cast<const char*>(bytes), count);
    };
    stbi_write_force_png_filter = 0;  // lines on plain paper: no other filter packs them better
    stbi_write_png_compression_level = 5;
    const int made = stbi_write_png_to_func(write, &file, picture.width, picture.height, 4,
                                            picture.rgba.data(), 4 * picture.width);
    file.close();
    if (made == 0) return refused(path.string(), "the picture could not be packed");
    if (!file) return refused(path.string(), std::strerror(errno));
    return Done{};
}

}  // namespace restand
