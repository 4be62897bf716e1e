// Which scene is drawn for which end. The parts and the numbers they are drawn from are in drawing/.

#include "app/views/bike_drawing.h"

#include "app/views/drawing/scenes.h"

namespace restand {
namespace {

using SceneFunction = void (*)(drawing::Pen&, const drawing::SceneInput&);

SceneFunction scene_for(Scene scene, End end) {
    const bool rear = end == End::rear;
    switch (scene) {
        case Scene::stand:
            return rear ? drawing::stand_rear : drawing::stand_front;
        // No chain at the front: its tyre stands in the stand's drawing.
        case Scene::chain:
            return rear ? drawing::chain_scene : drawing::stand_front;
        case Scene::dampers:
            return rear ? drawing::dampers_rear : drawing::dampers_front;
        case Scene::bench:
            return rear ? drawing::bench_rear : drawing::bench_front;
        case Scene::whole:
            return drawing::whole_bike;
    }
    return drawing::whole_bike;
}

}  // namespace

BikePicture picture(const PictureInput& input) {
    BikePicture result;
    result.strokes.reserve(160);
    const drawing::Plan plan = drawing::plan_of(input);
    drawing::Pen pen(result);
    scene_for(input.scene, input.end)(pen, {input, plan});
    result.to_scale = drawing::all_measured(input);
    return result;
}

}  // namespace restand
