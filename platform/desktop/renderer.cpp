#include "platform/desktop/renderer.h"

#include <SDL.h>
#include <imgui.h>

#include <algorithm>
#include <atomic>
#include <cstdint>
#include <optional>

namespace restand {
namespace {

static_assert(sizeof(SDL_Color) == sizeof(ImU32), "a vertex's colour is handed over as it lies in memory");
static_assert(IM_COL32(1, 0, 0, 0) == 1, "red first, as in SDL_Color on a little-endian machine");

// Atlases built so far, by any ImGui context. Numbers this small are never an address.
std::atomic<std::uintptr_t> builds = 0;

// The part of the clip rectangle that lies on the picture; nothing when that is empty. Whole pixels: SDL
// clips no finer, and rounding towards the top left lets neighbours meet without a gap.
std::optional<SDL_Rect> clip(const ImDrawData& data, const ImVec4& rectangle) {
    const auto within = [](float v, float size) { return static_cast<int>(std::clamp(v, 0.0f, size)); };
    const int left = within(rectangle.x - data.DisplayPos.x, data.DisplaySize.x);
    const int top = within(rectangle.y - data.DisplayPos.y, data.DisplaySize.y);
    const int right = within(rectangle.z - data.DisplayPos.x, data.DisplaySize.x);
    const int bottom = within(rectangle.w - data.DisplayPos.y, data.DisplaySize.y);
    if (right <= left || bottom <= top) return std::nullopt;
    return SDL_Rect{left, top, right - left, bottom - top};
}

// SDL takes positions unchanged: lists of a display that does not start at 0,0 are moved first.
void move_to_origin(ImDrawList& list, ImVec2 origin) {
    for (ImDrawVert& vertex : list.VtxBuffer) {
        vertex.pos.x -= origin.x;
        vertex.pos.y -= origin.y;
    }
}

}  // namespace

void Renderer::forget() {
    if (atlas_) SDL_DestroyTexture(atlas_);
    atlas_ = nullptr;
}

bool Renderer::refresh_atlas() {
    ImFontAtlas& fonts = *ImGui::GetIO().Fonts;
    unsigned char* pixels = nullptr;
    int width = 0, height = 0;
    fonts.GetTexDataAsRGBA32(&pixels, &width, &height);  // builds an atlas that was not built yet
    if (!fonts.TexID) fonts.SetTexID(reinterpret_cast<ImTextureID>(++builds));
    if (atlas_ && build_ == fonts.TexID) return true;

    forget();
    build_ = fonts.TexID;
    atlas_ = SDL_CreateTexture(&target_, SDL_PIXELFORMAT_RGBA32, SDL_TEXTUREACCESS_STATIC, width, height);
    if (!atlas_ || SDL_UpdateTexture(atlas_, nullptr, pixels, 4 * width) != 0) return false;
    SDL_SetTextureBlendMode(atlas_, SDL_BLENDMODE_BLEND);
    SDL_SetTextureScaleMode(atlas_, smooth_ ? SDL_ScaleModeLinear : SDL_ScaleModeNearest);
    return true;
}

bool Renderer::draw(const ImDrawData& data) {
    if (!refresh_atlas()) return false;
    bool drawn = true;
    for (int i = 0; i < data.CmdListsCount; ++i) {
        ImDrawList& list = *data.CmdLists[i];
        const bool moved = data.DisplayPos.x != 0 || data.DisplayPos.y != 0;
        if (moved) move_to_origin(list, data.DisplayPos);
        drawn = draw_list(data, list) && drawn;
        if (moved) move_to_origin(list, {-data.DisplayPos.x, -data.DisplayPos.y});
    }
    SDL_RenderSetClipRect(&target_, nullptr);
    return drawn;
}

bool Renderer::draw_list(const ImDrawData& data, const ImDrawList& list) {
    bool drawn = true;
    for (const ImDrawCmd& command : list.CmdBuffer) {
        // A callback may draw by itself; the reset mark needs no action here, as no state is kept.
        if (command.UserCallback == ImDrawCallback_ResetRenderState) continue;
        if (command.UserCallback) {
            command.UserCallback(&list, &command);
            continue;
        }
        drawn = draw_command(data, list, command) && drawn;
    }
    return drawn;
}

bool Renderer::draw_command(const ImDrawData& data, const ImDrawList& list, const ImDrawCmd& command) {
    const auto area = clip(data, command.ClipRect);
    if (!area || command.ElemCount == 0) return true;
    SDL_RenderSetClipRect(&target_, &*area);

    const bool is_atlas = reinterpret_cast<std::uintptr_t>(command.TextureId) <= builds;
    SDL_Texture* texture = is_atlas ? atlas_ : static_cast<SDL_Texture*>(command.TextureId);

    const ImDrawVert* vertices = list.VtxBuffer.Data + command.VtxOffset;
    const ImDrawIdx* indices = list.IdxBuffer.Data + command.IdxOffset;
    constexpr int stride = sizeof(ImDrawVert);
    return SDL_RenderGeometryRaw(&target_, texture, &vertices->pos.x, stride,
                                 reinterpret_cast<const SDL_Color*>(&vertices->col), stride, &vertices->uv.x,
                                 stride, list.VtxBuffer.Size - static_cast<int>(command.VtxOffset), indices,
                                 static_cast<int>(command.ElemCount), sizeof(ImDrawIdx)) == 0;
}

}  // namespace restand
