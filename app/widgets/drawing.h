#pragma once
// The drawing: strokes to scale, joints, dimension lines (ISO 129-1) and the tags that belong to them.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "app/widgets/canvas.h"
#include "app/widgets/tag_place.h"

namespace restand {

/// Converts the drawing's millimetres (y up) to pixels (y down).
struct Camera {
    double scale = 1;  ///< px per mm of the bike
    double x = 0, y = 0;
    ImVec2 at(Vec2 p) const {
        return {static_cast<float>(x + p.x * scale), static_cast<float>(y - p.y * scale)};
    }
    friend bool operator==(const Camera&, const Camera&) = default;
};

/// Transient: zoom and pan of the drawing, and a cache of what need not be computed each frame.
struct DrawingUi {
    // Relative to the view in which low to high just fits the zone.
    float zoom = 1, pan_x = 0, pan_y = 0;
    bool sliding = false;  ///< a finger pans: tags move along and are placed again at lift-off
    std::string handled{};  ///< id of the tag a finger drags; empty: none
    std::optional<double> cursor{};  ///< of a plot, mm of the drawing
    bool moved() const { return zoom != 1 || pan_x != 0 || pan_y != 0; }
    void whole() { zoom = 1, pan_x = pan_y = 0; }

    // Cache
    Drawing last;
    Rect zone;
    Camera camera;
    float text = 0;       ///< cap height it was placed with, px
    float tag_scale = 1;  ///< scale of the tags' text; below 1 where room is short
    std::vector<TagRoom> rooms;
    std::vector<std::optional<Rect>> places;
    std::vector<float> leaders;                     ///< leader lengths when the tags were placed, px
    std::vector<std::vector<std::uint16_t>> fills;  ///< by stroke
    Rect fit;                                       ///< part of the zone that low to high is fitted into
};

bool is_empty(const Drawing& drawing);

/// Draws into `zone`. A tag without room (only when the drawing was moved or is small) is left out.
void draw_drawing(Canvas& canvas, const Drawing& drawing, const Rect& zone, DrawingUi& ui);

/// The strokes alone, low to high fitted into `area`: a small picture on a key. Filled ones must be convex.
void draw_small(Canvas& canvas, const Drawing& drawing, const Rect& area);

/// What the cursor reads, in words; empty: there is none.
std::string readout_at(const Readout& readout, double x);
/// The place of a pixel on the plot, mm, within the plotting area.
double cursor_at(const Readout& readout, const DrawingUi& ui, float x);

/// Zooms about a point of the viewport; limited to 1/4 to 16 times the fit.
void zoom_at(DrawingUi& ui, float x, float y, float factor);
/// Pans the drawing; part of it always stays visible.
void slide(DrawingUi& ui, float dx, float dy);

}  // namespace restand
