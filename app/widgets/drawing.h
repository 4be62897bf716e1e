#pragma once
// The drawing: strokes to scale, joints, dimension lines (ISO 129-1) and the tags that belong to them.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "app/widgets/canvas.h"
#include "app/widgets/tag_place.h"

namespace restand {

/// From the drawing's millimetres to pixels; y turns over.
struct Camera {
    double scale = 1;  ///< px per mm of the bike
    double x = 0, y = 0;
    ImVec2 at(Vec2 p) const {
        return {static_cast<float>(x + p.x * scale), static_cast<float>(y - p.y * scale)};
    }
    friend bool operator==(const Camera&, const Camera&) = default;
};

/// Transient: how the drawing was moved, and what need not be found again each frame.
struct DrawingUi {
    // Against the fit of low to high into the zone.
    float zoom = 1, pan_x = 0, pan_y = 0;
    bool sliding = false;  ///< a finger moves it: tags ride along and are placed anew when it is lifted
    std::string handled{};  ///< id of the tag a finger drags; empty: none
    bool moved() const { return zoom != 1 || pan_x != 0 || pan_y != 0; }
    void whole() { zoom = 1, pan_x = pan_y = 0; }

    // Cache
    Drawing last;
    Rect zone;
    Camera camera;
    float text = 0;       ///< cap height it was placed with, px
    float tag_scale = 1;  ///< letters of tags, below 1 where room is short
    std::vector<TagRoom> rooms;
    std::vector<std::optional<Rect>> places;
    std::vector<float> leaders;                     ///< how long when they were placed, px
    std::vector<std::vector<std::uint16_t>> fills;  ///< by stroke
    Rect fit;                                       ///< the zone's part that low to high is fitted into
};

bool is_empty(const Drawing& drawing);

/// Draws into `zone`. A tag without room (only when the drawing was moved or is small) is left out.
void draw_drawing(Canvas& canvas, const Drawing& drawing, const Rect& zone, DrawingUi& ui);

/// Enlarges about a point of the glass; between a quarter and sixteen times the fit.
void zoom_at(DrawingUi& ui, float x, float y, float factor);
/// Moves it; some of the drawing always stays in sight.
void slide(DrawingUi& ui, float dx, float dy);

}  // namespace restand
