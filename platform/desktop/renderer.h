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

struct ImDrawCmd;
struct ImDrawData;
struct ImDrawList;
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

    /// Frees the atlas's texture; the next draw uploads it again (the device was reset).
    void forget();

private:
    bool refresh_atlas();
    bool draw_list(const ImDrawData& data, const ImDrawList& list);
    bool draw_command(const ImDrawData& data, const ImDrawList& list, const ImDrawCmd& command);

    SDL_Renderer& target_;
    bool smooth_;
    SDL_Texture* atlas_ = nullptr;
    void* build_ = nullptr;  // the atlas build that atlas_ holds
};

}  // namespace restand
