#include "app/screens/page_screen.h"

#include <imgui.h>

#include <algorithm>

#include "app/screens/page_input.h"
#include "app/screens/page_ui.h"
#include "app/screens/page_zones.h"
#include "app/widgets/ruler.h"
#include "app/widgets/table.h"
#include "app/widgets/title.h"

namespace restand {

struct PageScreen::Parts {
    Viewport viewport;
    ImGuiContext* context = nullptr;
    Type type;
    PageUi ui;
    float built_px_per_mm = 0;
    int built_percent = 0;
    bool was_pad = false;

    explicit Parts(Viewport g) : viewport(g) {
        IMGUI_CHECKVERSION();
        context = ImGui::CreateContext();
        ImGui::SetCurrentContext(context);
        ImGuiIO& io = ImGui::GetIO();
        io.IniFilename = io.LogFilename = nullptr;
        io.BackendFlags |= ImGuiBackendFlags_RendererHasVtxOffset;
        ImGui::GetStyle().AntiAliasedLinesUseTex = false;
    }
    ~Parts() { ImGui::DestroyContext(context); }
    Parts(const Parts&) = delete;
    Parts& operator=(const Parts&) = delete;

    // The typeface at the sizes of this viewport; nothing to do when they are the last frame's.
    void build(int percent) {
        if (viewport.px_per_mm == built_px_per_mm && percent == built_percent) return;
        type.build(*ImGui::GetIO().Fonts, viewport.px_per_mm, static_cast<float>(percent) / 100.0f);
        built_px_per_mm = viewport.px_per_mm;
        built_percent = percent;
    }

    void draw_zones(Canvas& c, const PageView& view);
};

void PageScreen::Parts::draw_zones(Canvas& c, const PageView& view) {
    const Zones zones = zones_of(c, view, viewport);
    c.fill({0, 0, static_cast<float>(viewport.width_px), static_cast<float>(viewport.height_px)},
           c.paper.bench);
    draw_title(c, view, zones.title);
    if (zones.ruler.w > 0) draw_ruler(c, *view.ruler, zones.ruler, zones.upright_ruler);
    c.place = Region::drawing;
    if (zones.drawing.w > 0) {
        draw_drawing(c, view.drawing, zones.drawing, ui.drawing);
    } else {
        ui.drawing.zone = {};
    }
    const bool beside_pad = zones.pad.w > 0;
    Rect strip = zones.strip;
    if (zones.table.w > 0 && !zones.table_under) {
        // Another page, or other filters: from the top.
        std::string list = view.title;
        for (const PageTable::Key& key : view.table->keys)
            if (key.chosen) list += key.id + key.label;
        if (ui.panel.title != list) ui.panel.scroll = 0;
        ui.panel.title = std::move(list);
        const Rect foot = draw_table_page(c, *view.table, beside_pad ? Primary{} : view.primary, zones.table,
                                          ui.panel, view.notice && !beside_pad);
        if (!beside_pad) strip = foot;
    } else if (zones.panel.w > 0) {
        draw_side_panel(c, view.panel, view.primary, zones.panel, ui.panel,
                        {!beside_pad, true, zones.widest_primary, zones.flows});
    } else {
        ui.panel.window = {};
    }
    if (zones.table_under) {
        if (ui.table.title != view.title) ui.table.scroll = 0;
        ui.table.title = view.title;
        draw_table_under(c, *view.table, zones.table, ui.table);
    } else {
        ui.table.window = {};
    }
    if (zones.pad.w > 0) draw_pad(c, *view.pad, view.primary, zones.pad, ui.pad);
    if (strip.w <= 0) return;
    const auto& cursor = ui.drawing.cursor;
    const std::string read =
        cursor && view.drawing.readout ? readout_at(*view.drawing.readout, *cursor) : std::string();
    if (view.notice)
        draw_notice(c, *view.notice, strip);
    else if (!read.empty())
        draw_readout(c, read, strip);
    else if (zones.drawing.w > 0)
        draw_caption(c, view.drawing, strip);
}

PageScreen::PageScreen(Viewport viewport) : parts_(std::make_unique<Parts>(viewport)) {}
PageScreen::~PageScreen() = default;
PageScreen::PageScreen(PageScreen&&) noexcept = default;
PageScreen& PageScreen::operator=(PageScreen&&) noexcept = default;

void PageScreen::resize(Viewport viewport) {
    parts_->viewport = viewport;
    parts_->ui.drawing.whole();
    parts_->ui.changed = true;
}

std::vector<Action> PageScreen::handle(const Event& event, const PageView& view) {
    if (const auto* size = std::get_if<ResizeEvent>(&event)) {
        resize(size->viewport);
        return {};
    }
    return answer(event, view, parts_->ui, parts_->viewport.px_per_mm);
}

std::vector<Action> PageScreen::draw(const PageView& view, double seconds) {
    Parts& p = *parts_;
    ImGui::SetCurrentContext(p.context);
    p.build(std::clamp(view.text_percent, 50, 300));
    ImGuiIO& io = ImGui::GetIO();
    io.DisplaySize = {static_cast<float>(p.viewport.width_px), static_cast<float>(p.viewport.height_px)};
    io.DeltaTime = 1.0f / 60.0f;  // there are no animations
    ImGui::NewFrame();

    // A new pad resets shift.
    if (view.pad.has_value() != p.was_pad) p.ui.pad = {};
    p.was_pad = view.pad.has_value();
    p.ui.book.drawn.clear();
    p.ui.book.targets.clear();
    p.ui.book.hints.clear();
    Canvas canvas(*ImGui::GetBackgroundDrawList(), p.type, palette(view.night), p.viewport.px_per_mm,
                  p.ui.book, p.ui.held, p.ui.pointer.kind);
    p.draw_zones(canvas, view);
    // Clear focus when its target is gone.
    if (!p.ui.held.focus.empty() && !p.ui.book.find(p.ui.held.focus)) p.ui.held.focus.clear();
    canvas.focus_ring();
    canvas.hover_hint({0, 0, io.DisplaySize.x, io.DisplaySize.y});
    ImGui::Render();
    p.ui.changed = false;
    if (p.ui.in_sight != view.panel.in_sight) show(p.ui.in_sight = view.panel.in_sight);
    return repeated(p.ui, seconds);
}

ImDrawData* PageScreen::draw_data() {
    ImGui::SetCurrentContext(parts_->context);
    return ImGui::GetDrawData();
}

bool PageScreen::settled() const {
    return !parts_->ui.changed && !repeats(parts_->ui);
}

const std::vector<Drawn>& PageScreen::drawn() const {
    return parts_->ui.book.drawn;
}

Pointer PageScreen::pointer() const {
    return parts_->ui.pointer.kind;
}

int PageScreen::text_percent() const {
    return parts_->built_percent;
}

std::optional<Rect> PageScreen::rect_of(std::string_view id) const {
    const Target* target = parts_->ui.book.find(id);
    if (!target || target->seen.w < 1 || target->seen.h < 1) return std::nullopt;
    return target->seen;
}

void PageScreen::show(std::string_view id) {
    bring(parts_->ui, id, parts_->viewport.px_per_mm);
}

}  // namespace restand
