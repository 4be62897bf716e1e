#pragma once
// A small Dear ImGui context for the tests of the renderer and the loop: the app's typeface, no app, no
// files.

#include <imgui.h>
#include <imgui_freetype.h>

#include <functional>

#include "app/widgets/font_data.h"

namespace restand::test {

class PaintContext {
public:
    explicit PaintContext(float width = 200, float height = 120, float font_px = 30)
        : context_(ImGui::CreateContext()) {
        ImGui::SetCurrentContext(context_);
        ImGuiIO& io = ImGui::GetIO();
        io.IniFilename = nullptr;
        io.DisplaySize = {width, height};
        io.BackendFlags |= ImGuiBackendFlags_RendererHasVtxOffset;
        set_font(font_px);
    }
    ~PaintContext() { ImGui::DestroyContext(context_); }
    PaintContext(const PaintContext&) = delete;
    PaintContext& operator=(const PaintContext&) = delete;

    void set_font(float font_px) {
        ImFontAtlas& fonts = *ImGui::GetIO().Fonts;
        fonts.Clear();
        fonts.FontBuilderIO = ImGuiFreeType::GetBuilderForFreeType();
        ImFontConfig config;
        config.FontDataOwnedByAtlas = false;
        const auto bytes = b612_regular();
        fonts.AddFontFromMemoryTTF(const_cast<unsigned char*>(bytes.data()), static_cast<int>(bytes.size()),
                                   font_px, &config);
        fonts.Build();
    }

    /// A frame with what `paint` draws, on an empty viewport.
    ImDrawData* frame(const std::function<void(ImDrawList&)>& paint) {
        ImGui::NewFrame();
        paint(*ImGui::GetForegroundDrawList());
        ImGui::Render();
        return ImGui::GetDrawData();
    }

private:
    ImGuiContext* context_;
};

}  // namespace restand::test
