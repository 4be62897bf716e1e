#include "platform/desktop/renderer.h"

#include <SDL.h>
#include <imgui.h>

#include <algorithm>
#include <atomic>
#include <cstdint>

namespace restand {
namespace {

static_assert(sizeof(SDL_Color) == sizeof(ImU32), "a vertex's colour is handed over as it lies in memory");
static_assert(IM_COL32(1, 0, 0, 0) == 1, "red first, as in SDL_Color on a little-endian machine");

// Atlases built so far, by any ImGui context. Numbers this small are never an address.
std::atomic<std::uintptr_t> builds = 0;

bool is_atlas(const ImDrawCmd& command) {
    return reinterpret_cast<std::uintptr_t>(command.TextureId) <= builds;
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
    damage_.forget();  // letters come from other places of the atlas, or look different
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
    const PixelRect area = clip_of(data, command);
    if (area.empty() || command.ElemCount == 0) return true;
    return draw_triangles(list, command, list.IdxBuffer.Data + command.IdxOffset, command.ElemCount, area);
}

bool Renderer::draw_triangles(const ImDrawList& list, const ImDrawCmd& command, const unsigned short* indices,
                              unsigned count, const PixelRect& area) {
    const SDL_Rect clip{area.x, area.y, area.w, area.h};
    SDL_RenderSetClipRect(&target_, &clip);
    SDL_Texture* texture = is_atlas(command) ? atlas_ : static_cast<SDL_Texture*>(command.TextureId);

    const ImDrawVert* vertices = list.VtxBuffer.Data + command.VtxOffset;
    constexpr int stride = sizeof(ImDrawVert);
    return SDL_RenderGeometryRaw(&target_, texture, &vertices->pos.x, stride,
                                 reinterpret_cast<const SDL_Color*>(&vertices->col), stride, &vertices->uv.x,
                                 stride, list.VtxBuffer.Size - static_cast<int>(command.VtxOffset), indices,
                                 static_cast<int>(count), sizeof(ImDrawIdx)) == 0;
}

// Every command draws with the atlas, and none by itself.
bool Renderer::is_known(const ImDrawData& data) {
    return shapes_of(data, shapes_) && std::none_of(shapes_.begin(), shapes_.end(), [](const Shape& shape) {
               return !is_atlas(*shape.command);
           });
}

bool Renderer::redraw(const ImDrawData& data) {
    redrawn_.clear();
    if (!refresh_atlas()) return false;
    if (!is_known(data)) {
        damage_.forget();
        redrawn_.push_back(
            {0, 0, static_cast<int>(data.DisplaySize.x), static_cast<int>(data.DisplaySize.y)});
        SDL_SetRenderDrawColor(&target_, 0, 0, 0, 255);
        SDL_RenderClear(&target_);
        return draw(data);
    }
    redrawn_ = damage_.of(data, shapes_);
    bool drawn = true;
    for (const PixelRect& area : redrawn_) drawn = redraw_within(area) && drawn;
    SDL_RenderSetClipRect(&target_, nullptr);
    return drawn;
}

// The shapes that touch the area, all of a command's at once.
bool Renderer::redraw_within(const PixelRect& area) {
    const SDL_Rect ground{area.x, area.y, area.w, area.h};
    SDL_RenderSetClipRect(&target_, nullptr);
    SDL_SetRenderDrawColor(&target_, 0, 0, 0, 255);
    bool drawn = SDL_RenderFillRect(&target_, &ground) == 0;
    for (std::size_t i = 0, next = 0; i < shapes_.size(); i = next) {
        const Shape& first = shapes_[i];
        indices_.clear();
        for (next = i; next < shapes_.size() && shapes_[next].command == first.command; ++next) {
            const Shape& shape = shapes_[next];
            if (shape.box.both(area).empty()) continue;
            const ImDrawIdx* from = shape.list->IdxBuffer.Data + shape.command->IdxOffset + shape.first;
            indices_.insert(indices_.end(), from, from + shape.count);
        }
        if (indices_.empty()) continue;
        drawn = draw_triangles(*first.list, *first.command, indices_.data(),
                               static_cast<unsigned>(indices_.size()), first.clip.both(area)) &&
                drawn;
    }
    return drawn;
}

}  // namespace restand
