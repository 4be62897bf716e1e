#pragma once
// One function per scene: it draws the parts, marks where each point is measured, and sets the view.

#include "app/views/drawing/frame.h"
#include "app/views/drawing/swingarm.h"
#include "app/views/drawing/wheel.h"

namespace restand::drawing {

struct SceneInput {
    const PictureInput& input;
    const Plan& plan;
};

void stand_rear(Pen& pen, const SceneInput& scene);
void stand_front(Pen& pen, const SceneInput& scene);
void chain_scene(Pen& pen, const SceneInput& scene);
void dampers_rear(Pen& pen, const SceneInput& scene);
void dampers_front(Pen& pen, const SceneInput& scene);
void bench_rear(Pen& pen, const SceneInput& scene);
void bench_front(Pen& pen, const SceneInput& scene);
void whole_bike(Pen& pen, const SceneInput& scene);

// The end on its wheel as the stand and the whole bike share it: moving parts and the anchors of every point.
// `anchors` false: parts only.
void rear_end(Pen& pen, const SceneInput& scene, Ink ink, bool anchors);
void front_end(Pen& pen, const SceneInput& scene, Ink ink, bool anchors);
void rear_ghost(Pen& pen, const SceneInput& scene);
void front_ghost(Pen& pen, const SceneInput& scene);

void anchor_tyre(Pen& pen, const WheelSpots& wheel, Vec2 axle);   // where each of a tyre's points is read

// Lower edge of the tyre to draw the ground at; the wheel hangs clear of it when the end is topped out.
double ground_gap(const Heights& heights);

}  // namespace restand::drawing
