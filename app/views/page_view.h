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
#include <vector>

#include "app/action.h"
#include "app/views/drawing.h"
#include "app/views/row.h"

namespace restand {

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
    std::string list;                        // stays where its title may change; empty: the title is it
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
    std::optional<Action> add_job{};              // of the bike shown; nullopt: a page of no bike
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
