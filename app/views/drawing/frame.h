#pragma once
// Fixed parts: frame, subframe with the fixed mark, yokes and bar, and for the whole bike its tank,
// seat and engine. All schematic; they start and end at points that are to scale.

#include "app/views/drawing/pen.h"
#include "app/views/drawing/plan.h"

namespace restand::drawing {

// Rear part: pivot plate, shock mount, tail up to the mark. Cut off ahead of the pivot where `cut`.
void draw_rear_frame(Pen& pen, const Plan& plan, bool cut);

struct YokeSpots {
    Vec2 upper, lower;  // on the leg's axis: upper face of the upper yoke, lower face of the lower one
    Vec2 head;          // middle of the steering head, on the steering axis
    Vec2 bar;
};
YokeSpots yokes_at(const Plan& plan);
void draw_steering_head(Pen& pen, const Plan& plan, bool cut);  // behind the fork
void draw_yokes(Pen& pen, const Plan& plan);                    // before the fork
void draw_main_frame(Pen& pen, const Plan& plan);               // pivot to steering head, engine under it
void draw_bodywork(Pen& pen, const Plan& plan);                 // tank and seat line
void draw_fairing(Pen& pen, const Plan& plan);                  // last, in thin lines

}  // namespace restand::drawing
