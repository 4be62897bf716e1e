#pragma once
// A drawing as a view makes it: lines, labels and tags in millimetres, x right, y up. No pixels.

#include <optional>
#include <string>
#include <vector>

#include "app/action.h"
#include "core/measure/reading.h"

namespace restand {

// Three pens and two helpers; the palette turns them into colours for day and night.
enum class Ink { ink, quiet, baseline, now, stop };   // black, thin lines, blue, warm 'now', 'stop' only

// mm, x right, y up
struct Vec2 { double x = 0, y = 0; friend bool operator==(const Vec2&, const Vec2&) = default; };

// ISO 128: continuous wide/narrow, dashed, long-dash dot, dash double-dot
enum class Line { wide, narrow, hidden, axis, ghost };
struct Stroke {
    std::vector<Vec2> points;
    Line line = Line::wide;
    Ink ink = Ink::ink;
    bool closed = false;
    bool filled = false;          // with the paper's tint, under the line
    friend bool operator==(const Stroke&, const Stroke&) = default;
};
// A tag never covers it
struct Joint { Vec2 at; double radius_mm = 8; friend bool operator==(const Joint&, const Joint&) = default; };

// A number of the bike that can be dragged by its tag, in whole steps from its current value.
struct Drag {
    End end = End::rear;
    Point point = Point::eye_to_eye;
    double value = 0, step = 0.5;       // canonical
    Vec2 along;                         // on the drawing, of length 1: which way it grows
    double per_mm = 1;                  // change of the value per mm of the drawing
    std::optional<double> low{}, high{};
    friend bool operator==(const Drag&, const Drag&) = default;
};

enum class TagShape { box, rounded };   // box: what was read; rounded: what is set or predicted
struct Tag {
    std::string id;
    std::string label, value, unit;     // value empty: a box waiting for a number
    std::string note;                   // small, under the value: "as before: 462.0"
    Ink ink = Ink::ink;
    Ink note_ink = Ink::baseline;
    TagShape shape = TagShape::box;
    bool open = false;                  // being filled now
    bool limit = false;                 // double frame: it limits the answer
    // Where it belongs. With two points: a dimension line between them, drawn `offset` mm beside (left of
    // a→b).
    Vec2 a;
    std::optional<Vec2> b;
    double offset = 0;
    std::optional<Action> tap;
    std::optional<Drag> drag{};         // drawn as a double arrow along its direction
    friend bool operator==(const Tag& x, const Tag& y) {
        return x.id == y.id && x.label == y.label && x.value == y.value && x.unit == y.unit &&
               x.note == y.note && x.ink == y.ink && x.shape == y.shape && x.open == y.open &&
               x.limit == y.limit && x.a == y.a && x.b == y.b && x.offset == y.offset && x.drag == y.drag;
    }
};
enum class LabelAt { left, middle, right };   // the text ends at its spot, is centred on it, begins there
struct Label {                                // plain words, of an axis or a curve
    Vec2 at;
    std::string text;
    Ink ink = Ink::ink;
    LabelAt lies = LabelAt::middle;
    bool stays = false;                       // never omitted: moved up or down to free space
    friend bool operator==(const Label&, const Label&) = default;
};
// A straight scale of a plot: value = zero + per_mm · place in mm of the drawing.
struct PlotScale {
    std::string name, unit;
    double zero = 0, per_mm = 1;
    int decimals = 0;
    std::string (*text)(double) = nullptr;   // in place of a number: a day
    double value(double mm) const { return zero + per_mm * mm; }
    friend bool operator==(const PlotScale&, const PlotScale&) = default;
};
// What a plot's cursor reads: each curve at one x. x rises along a curve, but may stand still.
struct Readout {
    struct Curve {
        std::string name;
        std::vector<Vec2> points;            // mm of the drawing
        bool joined = true;                  // false: only its points are values; the nearest is read
        friend bool operator==(const Curve&, const Curve&) = default;
    };
    PlotScale x, y;
    double low = 0, high = 0;                // the plotting area from left to right, mm
    double top = 0;                          // its height, mm; it stands on 0
    std::vector<Curve> curves;
    friend bool operator==(const Readout&, const Readout&) = default;
};
struct Drawing {
    std::vector<Stroke> strokes;        // back to front
    std::vector<Label> labels{};
    std::vector<Joint> joints;
    std::vector<Tag> tags;              // in order round the bike, which is the Tab order
    Vec2 low, high;                     // the part shown after the view is reset
    std::string caption;                // bottom left: what the lines are, whether to scale
    Ink caption_ink = Ink::ink;
    std::string guide;                  // top left: what to do at the open tag
    std::string guide_small;
    std::optional<Readout> readout{};   // of a plot
    friend bool operator==(const Drawing&, const Drawing&) = default;
};

}  // namespace restand
