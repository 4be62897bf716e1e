#pragma once
// Draws Dear ImGui's draw lists with SDL's own 2D renderer (SDL_RenderGeometryRaw, SDL 2.0.18 or later).
//
//   ImDrawData ── draw lists ── commands: clip rectangle, texture, run of triangles ──► SDL_Renderer
//
// - Positions are pixels of the picture: DisplayPos is subtracted, FramebufferScale must be 1.
// - A command's texture is the font atlas of the ImGui context in use, or an SDL_Texture* of this renderer.
// - The atlas is uploaded again whenever it was rebuilt. ImGui clears its TexID then; we store the number of
//   the build there, not a texture's address, so that several renderers may draw the same lists.
// Sources: "Rendering" notes in imgui.h (ImDrawCmd, ImDrawData); SDL wiki, SDL_RenderGeometryRaw.

#include <vector>

#include "platform/desktop/damage.h"

struct SDL_Renderer;
struct SDL_Texture;

namespace restand {

class Renderer {
public:
    /// Draws on `target`, which must outlive it. `smooth`: colours are blended between the atlas's pixels.
    /// Without it the nearest pixel is taken, which keeps letters unchanged when the picture is drawn larger
    /// and averaged.
    explicit Renderer(SDL_Renderer& target, bool smooth = true) : target_(target), smooth_(smooth) {}
    ~Renderer() { forget(); }
    Renderer(const Renderer&) = delete;
    Renderer& operator=(const Renderer&) = delete;

    /// Draws over the existing picture; clipping is off afterwards. The ImGui context that made `data` must
    /// be the current one. False: the system gave no texture or refused to draw (SDL_GetError says why).
    [[nodiscard]] bool draw(const ImDrawData& data);

    /// Makes the picture of the last redraw() that of `data`: draws only where the two differ, on black. The
    /// same pixels as of draw() on black. What `target` shows elsewhere must be what redraw() left there.
    [[nodiscard]] bool redraw(const ImDrawData& data);

    /// What the last redraw() drew. Pixels outside did not change.
    const std::vector<PixelRect>& redrawn() const { return redrawn_; }

    /// The picture is lost; the next redraw() draws all of it.
    void forget_picture() { damage_.forget(); }

    /// Frees the atlas's texture; the next draw uploads it again (the device was reset).
    void forget();

private:
    bool refresh_atlas();
    bool is_known(const ImDrawData& data);
    bool redraw_within(const PixelRect& area);
    bool draw_list(const ImDrawData& data, const ImDrawList& list);
    bool draw_command(const ImDrawData& data, const ImDrawList& list, const ImDrawCmd& command);
    bool draw_triangles(const ImDrawList& list, const ImDrawCmd& command, const unsigned short* indices,
                        unsigned count, const PixelRect& area);

    SDL_Renderer& target_;
    bool smooth_;
    SDL_Texture* atlas_ = nullptr;
    void* build_ = nullptr;  // the atlas build that atlas_ holds
    Damage damage_;
    std::vector<PixelRect> redrawn_;
    std::vector<Shape> shapes_;            // of this frame; kept for its memory, as the next one
    std::vector<unsigned short> indices_;  // of a command's shapes that touch an area
};

}  // namespace restand
