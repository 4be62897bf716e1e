#pragma once
// Where the parts of a drawing are placed: camera, dimension lines, guide, tags. Inside app/widgets only.

#include "app/widgets/drawing.h"

namespace restand {

// A dimension line with its extension lines, px.
struct DimensionLine {
    ImVec2 a, b;      // on the bike
    ImVec2 from, to;  // ends of the dimension line
};

struct Guide {
    Rect area;
    Lines head, small;
};

DimensionLine dimension_line(const Tag& tag, const Camera& camera);
float joint_radius(const Canvas& c, const Joint& joint, const Camera& camera);
Rect joint_area(const Canvas& c, const Joint& joint, const Camera& camera);
Guide guide_of(const Canvas& c, const Drawing& drawing, const Rect& zone);
Rect whole_key(const Canvas& c, const Rect& zone);
bool is_filling(const Drawing& drawing);
void refresh(const Canvas& c, const Drawing& drawing, const Rect& zone, DrawingUi& ui);

}  // namespace restand
