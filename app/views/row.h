#pragma once
// The rows of a side panel, from top to bottom.

#include <cstddef>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "app/action.h"
#include "app/views/drawing.h"

namespace restand {

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

}  // namespace restand
