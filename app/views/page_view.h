#pragma once
// What a screen shows, as values: final strings, tones, enabled flags, lines in millimetres. No ImGui, no
// pixels. Every screen is one page: title line, step ruler, drawing, and a side panel with one primary
// action. The pad can replace the side panel. A page that lists things is a table instead, a plot is as wide
// as the page.
//
//   +--------------------------------------------------+
//   | title            who            saved            |
//   +------+--------------------------+----------------+
//   | ruler|        drawing           |  panel or pad  |
//   |      |                          | [primary     ] |
//   +------+--------------------------+----------------+      portrait: stacked, primary in the same corner
//
// Ids are constants of the view that tests tap by name: "primary", "tag:before:rear:eye_to_eye", "row:…",
// "step:2", "key:7".

#include <optional>
#include <string>
#include <variant>
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

namespace row {
enum class Mark { none, done, todo, saving, question };
struct Heading { std::string text; };
struct ReadingRow {
    std::string id;
    Mark mark;
    std::string label, value, unit, plus_minus;
    bool open = false;
    bool optional = false;
    Action tap;
    double share = 0;             // of the answer's uncertainty, 0 to 1; a bar under the label
};
struct Big {
    std::string id, label, value, unit, action, from, note;
    Ink ink = Ink::now;
    bool limit = false;
};
struct TableHead { std::string was, will; };
struct TableLine { std::string label, was, will; bool held = false; };   // held: in the 'now' ink
struct Note { std::string text; Ink ink = Ink::ink; bool bold = false; bool small = false; };
struct Button { std::string id, label, detail; Action tap; bool enabled = true; bool selected = false; };
// A setting with a key on each side of its value; the value itself opens the pad.
struct Stepper {
    std::string id, label, value, unit, less, more;
    Action tap_less, tap_more, tap_value;
    bool saving = false;
};
// A thing to do, ticked when done. `next`: the one to do now.
struct PlanStep {
    std::string id, label, detail;
    bool done = false, next = false;
    std::optional<Action> tap;
};
struct Choice {
    std::string id, label;
    std::vector<std::string> options;
    std::vector<Action> taps;
    std::size_t selected;
    std::vector<Drawing> pictures{};   // of each option, above its name; empty: names alone
};
struct Card { std::string id, title, line1, line2; std::string badge; Action tap; };
struct Verdict { std::string text, detail; Ink ink; };                   // large
struct Band { std::string label; double value, low, high, target, scale; };  // uncertainty bar to scale
}  // namespace row
using Row =
    std::variant<row::Heading, row::ReadingRow, row::Big, row::TableHead, row::TableLine, row::Note,
                 row::Button, row::Stepper, row::PlanStep, row::Choice, row::Card, row::Verdict, row::Band>;

// One line an entry, columns that line up, a heading that stays while the lines scroll.
struct PageTable {
    struct Key { std::string id, label; Action tap; bool chosen = false; };
    struct Column {
        std::string name;
        bool number = false;                 // decimal points in line; else text, left-aligned
        Ink ink = Ink::ink;
        bool bold = false;
        bool cut = false;                    // text on one line, cut off at a word; a tap shows all of it
        enum class Sorted { no, rising, falling } sorted = Sorted::no;
        std::optional<Action> sort{};        // a tap on its name
    };
    struct Line {
        std::string id{};                    // of its target; "" = not tapped
        std::vector<std::string> cells{};    // by column; a single cell goes across
        std::optional<Action> tap{};
        enum class Kind { plain, quiet, changed, section, note } kind = Kind::plain;
    };
    std::vector<Key> keys;                   // filters and search, in one row above
    std::vector<Column> columns;
    std::vector<Line> lines;
    std::vector<Key> more;                   // secondary keys, beside the primary
    std::string foot;                        // what is folded away
    bool sections_beside = false;            // where there is room, sections stand in two columns
};

// No tap: shown, disabled, with the reason
struct Primary { std::string label; std::optional<Action> tap; std::string why_not; };

// Cautions: above the primary
struct SidePanel {
    std::string title;
    std::vector<Row> rows;
    std::vector<std::string> cautions;
    std::string in_sight;                    // id of a row; when it becomes another one, it is scrolled to
    bool wide = false;                       // wider; its buttons and large numbers in two columns
};

// A tap goes to the step
struct Ruler { struct Mark { std::string name; bool done, current, reachable; }; std::vector<Mark> marks; };

struct PadView {
    std::string title, last_label, last_value;    // "last baseline, 3 May", "310.0"
    std::string same_label = "as last";           // of the key that types last_value
    std::vector<std::string> repeats;             // kept so far
    std::string entry;                            // text typed so far
    bool replaced = false;                        // the next key begins a new number in its place
    std::string summary;                          // "mean 309.85 · spread 0.1 · −0.15 from 3 May"
    std::string problem;                          // what is wrong with it, and what to do
    std::string unit;                             // "" = no unit key
    std::string instrument;                       // "tape"; "" = no choice; tap: the next one
    std::string settled;                          // "seated anew" between repeats; "" = makes no difference
    bool settled_anew = false;
    std::string where;                            // "" = not asked; tap opens the letters
    bool letters = false, fractions = false, sign = false, repeatable = true;
    bool read = false;                             // stored: it can be taken out
    bool question = false;                        // 'same mark, same state?' instead of the keys
    std::string question_text;
};

struct Notice {
    std::string text;
    std::string key;                              // "Undo", "Put it back"; "" = none
    std::optional<Action> tap;
    Ink ink = Ink::ink;
};

struct PageView {
    std::string title, who, saved;
    bool can_go_back = false;
    std::optional<Ruler> ruler;
    Drawing drawing;
    SidePanel panel;
    // Beside a drawing: under it. Without one: the whole page, in place of the panel.
    std::optional<PageTable> table{};
    bool wide_drawing = false;                    // a plot: as wide as the page, the panel under it
    std::optional<PadView> pad;
    Primary primary;
    std::optional<Notice> notice;
    bool night = false;
    int text_percent = 100;
};

}  // namespace restand
