#pragma once
// The bike as a working drawing, in millimetres: strokes, joints, and where each point is measured.
//
//        z up                       origin: swingarm pivot; the bike looks to the right
//        |   mark +                 droop α: axle at (−L·cos α, −L·sin α), positive = axle lower
//        |        |  ride height
//   (axle)o=======O pivot --- x     heights move the axle: sin α = sin α0 − (h0 − h)/L … to scale
//
// Simplifications: frame, seat, shock mounts and linkage are schematic until measured; what is known
// (swingarm, wheel radii, rake, sprockets, chain, unit and spring lengths, heights) is to scale.

#include <map>

#include "core/ledger/body.h"
#include "app/pad/field.h"
#include "app/views/drawing.h"

namespace restand {

// What the drawing is about: the end on its wheels, the chain run, the dampers' adjusters, the part on the
// bench, or the whole bike.
enum class Scene { stand, chain, dampers, bench, whole };

struct PictureInput {
    End end = End::rear;
    Scene scene = Scene::stand;
    const BikeBody* bike = nullptr;
    // Canonical values known for what is drawn (lengths, teeth, links …); anything absent is schematic.
    std::map<Point, double> known;
    std::optional<Length> topped_out;      // ride height with the wheel off the ground; anchors the droop
    std::optional<Length> height;          // ride height at which the end is drawn, full lines
    std::optional<Length> ghost;           // a second position, dash-double-dotted
    // The other end, where it is known; else it stands level with this one.
    struct FarEnd {
        std::optional<Length> topped_out, height, ghost;
        std::map<Point, double> known{};   // its canonical values; with them its adjusters have anchors too
    };
    std::optional<FarEnd> far;
    Ink ink = Ink::ink;                    // of the moving parts: ink = as it is, now = predicted
    Ink ghost_ink = Ink::baseline;
};

// Where a point's tag belongs: a spot, or a dimension line between two, `offset` mm left of a→b.
struct Anchor { Vec2 a; std::optional<Vec2> b; double offset = 0; };

struct BikePicture {
    std::vector<Stroke> strokes;
    std::vector<Joint> joints;
    std::map<Point, Anchor> anchors;
    std::map<BikeField, Anchor> bike_anchors;   // scene whole: where the bike's own numbers are measured
    std::map<Point, Vec2> ways;                 // scene whole: unit, way an adjuster's value grows
    std::optional<Anchor> trail;                // scene whole: on the ground, axis to contact
    Vec2 low, high;
    bool to_scale = false;                      // all of the geometry this scene shows was measured
};
BikePicture picture(const PictureInput& input);

}  // namespace restand
