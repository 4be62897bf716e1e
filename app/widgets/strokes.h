#pragma once
// Lines of a technical drawing in the viewport: ISO 128 line types, filled areas, arrowheads. Line patterns
// are in millimetres of the screen, so that zoom does not change the dashes.

#include <cstdint>
#include <span>
#include <vector>

#include "app/widgets/canvas.h"

namespace restand {

/// Line widths, mm: wide 0.5, narrow half of it (ISO 128-20: wide to narrow 2:1).
float line_width_mm(Line line);

/// Lengths of dash, gap, dash, gap … in mm; empty for a continuous line. ISO 128-20, lines 02, 04 and 05 with
/// d the line's width: dash 12 d, long dash 24 d, gap 3 d, dot half d.
std::span<const float> dash_pattern_mm(Line line);

/// One run of points, already in pixels. `see`: what lies outside is left out.
void draw_stroke(Canvas& canvas, std::span<const ImVec2> points, bool closed, Line line, Colour colour,
                 const Rect& see);

/// Corner indices of triangles that fill a simple polygon, by ear clipping. Empty for fewer than three
/// points; a polygon that crosses itself gives the triangles found until no ear is left.
std::vector<std::uint16_t> triangles(std::span<const Vec2> polygon);

/// ISO 129-1: filled, 15° between its sides; `at` is its point, it comes from `from`.
void draw_arrowhead(Canvas& canvas, ImVec2 at, ImVec2 from, float length_mm, Colour colour);

}  // namespace restand
