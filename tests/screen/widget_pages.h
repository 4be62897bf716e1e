#pragma once
// Pages to draw, built by hand with invented bikes, people and numbers.

#include <array>
#include <cmath>
#include <string>

#include "app/navigation.h"
#include "app/pad/pad_actions.h"
#include "app/season/season_actions.h"
#include "app/swap/swap_actions.h"
#include "app/workshop/workshop_actions.h"
#include "app/views/page_view.h"

namespace restand::pages {

inline std::vector<Vec2> circle(Vec2 at, double radius) {
    std::vector<Vec2> points;
    for (int i = 0; i < 64; ++i) {
        const double t = 2 * 3.14159265358979 * i / 64;
        points.push_back({at.x + radius * std::cos(t), at.y + radius * std::sin(t)});
    }
    return points;
}

inline std::vector<Vec2> coil(Vec2 from, Vec2 to, double radius, int turns) {
    std::vector<Vec2> points;
    const double dx = to.x - from.x, dy = to.y - from.y, length = std::hypot(dx, dy);
    for (int i = 0; i <= 2 * turns; ++i) {
        const double t = static_cast<double>(i) / (2 * turns), side = i % 2 ? radius : -radius;
        points.push_back({from.x + dx * t - dy / length * side, from.y + dy * t + dx / length * side});
    }
    return points;
}

// A rear end: pivot at the origin, axle behind and below it.
inline Drawing rear_end() {
    Drawing d;
    const Vec2 axle{-560, -112}, shock_top{-6, 168}, shock_foot{-116, -94}, mark{-500, 392};
    d.strokes.push_back({{{-470, 420},
                          {-210, 368},
                          {-40, 300},
                          {38, 282},
                          {60, 60},
                          {28, -130},
                          {-40, -118},
                          {-66, 190},
                          {-230, 330},
                          {-480, 390}},
                         Line::narrow,
                         Ink::ink,
                         true,
                         true});
    d.strokes.push_back({circle(axle, 318), Line::wide, Ink::ink, true, false});
    d.strokes.push_back({circle(axle, 216), Line::narrow, Ink::ink, true, false});
    d.strokes.push_back({circle(axle, 112), Line::axis, Ink::quiet, true, false});
    d.strokes.push_back({circle({82, 14}, 40), Line::axis, Ink::quiet, true, false});
    d.strokes.push_back({{{-570, 0}, {78, 54}}, Line::axis, Ink::quiet, false, false});
    d.strokes.push_back({{{-520, -216}, {94, -24}}, Line::axis, Ink::quiet, false, false});
    d.strokes.push_back({circle({-560, -82}, 318), Line::ghost, Ink::baseline, true, false});
    d.strokes.push_back(
        {{{-552, -60}, {-20, 30}, {10, -26}, {-540, -112}}, Line::ghost, Ink::baseline, true, false});
    d.strokes.push_back(
        {{{-560, -90}, {-12, 36}, {18, -18}, {-150, -76}, {-548, -134}}, Line::wide, Ink::ink, true, true});
    d.strokes.push_back({{shock_top, {-30, 110}}, Line::wide, Ink::ink, false, false});
    d.strokes.push_back({coil({-32, 106}, {-96, -46}, 34, 6), Line::wide, Ink::ink, false, false});
    d.strokes.push_back({{{-98, -50}, shock_foot}, Line::wide, Ink::ink, false, false});
    d.strokes.push_back({{shock_foot, {-60, -128}, {-14, -92}}, Line::wide, Ink::ink, false, false});
    for (const Vec2 at : {axle, Vec2{0, 0}, shock_top, shock_foot}) d.joints.push_back({at, 13});
    for (const Vec2 at : {Vec2{-60, -128}, Vec2{-14, -92}, Vec2{-150, -76}}) d.joints.push_back({at, 7});
    d.strokes.push_back(
        {{{mark.x - 20, mark.y}, {mark.x + 20, mark.y}}, Line::narrow, Ink::ink, false, false});
    d.strokes.push_back(
        {{{mark.x, mark.y - 20}, {mark.x, mark.y + 20}}, Line::narrow, Ink::ink, false, false});

    const auto tag = [&](std::string id, std::string label, std::string value, Vec2 a, std::optional<Vec2> b,
                         double offset) {
        Tag t;
        t.id = "tag:before:" + id;
        t.label = std::move(label);
        t.value = std::move(value);
        t.unit = "mm";
        t.a = a;
        t.b = b;
        t.offset = offset;
        t.tap = act::OpenTag{};
        d.tags.push_back(std::move(t));
    };
    tag("ride_height", "ride height, topped out", "490.9", axle, Vec2{axle.x, mark.y}, 30);
    tag("eye_to_eye", "eye to eye", "", shock_foot, shock_top, 110);
    tag("spring_installed", "spring, installed", "", {-40, 80}, std::nullopt, 0);
    tag("spring_free", "spring, free", "", {-90, -30}, std::nullopt, 0);
    tag("chain_slack", "chain slack", "32", {-300, -186}, Vec2{-300, -108}, 0);
    tag("axle", "axle from slot front", "11.5", axle, std::nullopt, 0);
    d.low = {-900, -450};
    d.high = {140, 440};
    d.caption = "to scale, from this bike\u2019s own numbers \u00b7 blue: baseline of 3 May, rider on";
    d.caption_ink = Ink::baseline;
    return d;
}

inline Ruler ruler(std::size_t at) {
    Ruler r;
    const std::array<const char*, 6> names{"Before", "New part", "Answer", "Set", "Check", "Keep"};
    for (std::size_t i = 0; i < names.size(); ++i)
        r.marks.push_back({names[i], i < at, i == at, i <= at + 1});
    return r;
}

inline PageView frame(std::string title) {
    PageView v;
    v.title = std::move(title);
    v.who = "working: Ilse";
    v.saved = "saved 14:32:05";
    v.can_go_back = true;
    return v;
}

inline PageView before() {
    PageView v = frame("No. 27 \u00b7 rear shock");
    v.ruler = ruler(0);
    v.drawing = rear_end();
    v.drawing.tags[1].ink = Ink::now;
    v.panel.title = "Before: the old shock in";
    using row::Mark;
    const auto reading = [&](std::string id, Mark mark, std::string label, std::string value,
                             std::string pm) {
        row::ReadingRow r;
        r.id = "row:before:" + id;
        r.mark = mark;
        r.label = std::move(label);
        r.value = std::move(value);
        r.unit = r.value.empty() ? "" : "mm";
        r.plus_minus = std::move(pm);
        r.tap = act::OpenTag{};
        v.panel.rows.push_back(r);
    };
    reading("topped_out", Mark::done, "ride height, topped out", "490.9", "\u00b10.6");
    reading("static", Mark::done, "ride height, static", "481.5", "\u00b10.6");
    reading("rider", Mark::saving, "ride height, rider", "462.0", "\u00b10.8");
    reading("chain", Mark::done, "chain slack", "32", "\u00b11");
    reading("axle", Mark::question, "axle from slot front", "11.5", "\u00b10.3");
    reading("eye", Mark::todo, "eye to eye", "", "");
    std::get<row::ReadingRow>(v.panel.rows.back()).open = true;
    reading("free", Mark::todo, "spring, free length", "", "");
    reading("installed", Mark::todo, "spring, installed", "", "");
    reading("clicks", Mark::todo, "damper clicks, rebound", "", "");
    reading("sprockets", Mark::none, "sprockets and links", "16/43 110", "");
    v.panel.cautions = {"Bike on stands, wheel clear. Spring under load.",
                       "Never open or charge a gas damper."};
    v.primary = {"Measure eye to eye", act::OpenTag{}, ""};
    return v;
}

inline PageView answer() {
    PageView v = frame("No. 27 \u00b7 rear shock");
    v.ruler = ruler(2);
    v.drawing = rear_end();
    v.drawing.tags.erase(v.drawing.tags.begin() + 3);
    for (std::size_t i : {0u, 1u, 2u}) {
        v.drawing.tags[i].ink = Ink::now;
        v.drawing.tags[i].shape = TagShape::rounded;
    }
    v.drawing.tags[0].note = "as before: 490.9";
    v.drawing.tags[1].value = "310.0";
    v.drawing.tags[1].limit = true;
    v.drawing.tags[2].value = "146.6";
    v.panel.title = "Set this on the new shock";
    v.panel.rows = {
        row::Big{"big:length", "length, eye to eye", "310.0", "mm", "4 turns out", "from 305.0",
                 "\u00b1 0.3 \u00b7 one turn = 2.5 mm at the axle", Ink::now, true},
        row::Big{"big:spring", "spring, installed length", "146.6", "mm", "\u215e turn in", "from 148.0",
                 "preload 8.4 \u00b1 0.5 \u00b7 \u00bd turn = 1.5 mm at the axle", Ink::now, false},
        row::TableHead{"was", "will be"},
        row::TableLine{"ride height, topped out", "490.9", "490.9", true},
        row::TableLine{"ride height, static", "481.5", "482.6", false},
        row::TableLine{"ride height, rider", "462.0", "462.0", true},
        row::TableLine{"rider sag", "28.9", "28.9", true},
        row::TableLine{"free sag", "9.4", "8.3", false},
        row::TableLine{"wheel rate, N/mm", "22.8", "23.9", false},
        row::Note{"Not held: static height, +1.1 mm: spring 5 % stiffer.", Ink::ink, true, false},
        row::Note{"Most of the \u00b1: new spring\u2019s free length; two more repeats make it \u00b1 0.3.",
                  Ink::ink, false, true}};
    v.primary = {"I have set it", act::GoToStep{Step6::set}, ""};
    return v;
}

inline PageView pad() {
    PageView v = before();
    v.drawing.tags[1].open = true;
    v.drawing.tags[1].value = "309.8";
    v.drawing.low = {-560, -220};
    v.drawing.high = {140, 330};
    v.drawing.guide = "Centre of eye to centre of eye, nothing loading it.";
    v.drawing.guide_small = "Calliper 300 mm \u00b7 reads 0.05 mm";
    v.drawing.caption = "a gauge that types like a keyboard works here too";
    PadView p;
    p.title = "eye to eye";
    p.last_label = "last baseline, 3 May";
    p.last_value = "310.0";
    p.repeats = {"309.9"};
    p.entry = "309.8";
    p.summary = "mean 309.85 \u00b7 spread 0.1 \u00b7 \u22120.15 from last";
    p.unit = "mm";
    v.pad = p;
    v.primary = {"Next: free length", act::PadNext{}, ""};
    return v;
}

inline PageView pad_inches() {
    PageView v = pad();
    v.pad->fractions = v.pad->sign = true;
    v.pad->unit = "in";
    v.pad->entry = "12 5/1";
    v.pad->repeats = {"12 3/16", "12 1/4", "12 5/16", "12 1/4", "12 1/4"};
    v.pad->summary.clear();
    v.pad->problem = "12 5/1 is not a length yet: type the fraction to its end, as in 12 5/16.";
    v.pad->where = "read at: seat bolt";
    return v;
}

inline PageView letters() {
    PageView v = frame("People");
    v.panel.title = "Who is working?";
    v.panel.rows = {row::Button{"row:person:1", "Ilse", "", act::SetPerson{}, true, true},
                   row::Button{"row:person:2", "Bram", "", act::SetPerson{}, true, false}};
    PadView p;
    p.title = "a new name";
    p.letters = true;
    p.repeatable = false;
    p.entry = "Mika";
    v.pad = p;
    v.primary = {"Add Mika", act::PadNext{}, ""};
    return v;
}

inline PageView question() {
    PageView v = pad();
    v.pad->question = true;
    v.pad->question_text = "6.2 mm from the last baseline. Same mark, same state?";
    v.primary = {"", std::nullopt, ""};
    return v;
}

inline PageView cards() {
    PageView v = frame("Bikes");
    v.can_go_back = false;
    v.panel.title = "Bikes";
    for (int i = 0; i < 7; ++i) {
        row::Card card{"row:bike:" + std::to_string(i),       "No. " + std::to_string(21 + 3 * i),
                       "rear shock, standing at step 3 of 6", "baseline of 3 May, 14:32 \u00b7 Ilse",
                       i % 3 == 0 ? "swap open" : "",         act::Go{Screen::bike, {}}};
        v.panel.rows.push_back(card);
    }
    v.primary = {"Add a bike", act::AddBike{}, ""};
    v.notice = Notice{"No. 24 is in the archive.", "Undo", act::Undo{}, Ink::ink};
    return v;
}

inline PageView verdict() {
    PageView v = before();
    v.ruler = ruler(4);
    v.panel.title = "Check";
    v.panel.rows = {
        row::Verdict{"Not restored", "Rider height is 2.1 mm low; these readings can tell 0.9 mm.",
                     Ink::stop},
        row::Band{"rider height against before, \u00b1 3 mm", 459.9, 459.0, 460.8, 462.0, 3.0},
        row::Band{"static height against before, \u00b1 3 mm", 481.9, 481.0, 482.8, 481.5, 3.0},
        row::Heading{"Correction"},
        row::Note{"Collar: \u00be turn in. Then measure rider height again.", Ink::ink, false, false},
        row::Choice{"choice:units", "units of length", {"mm", "in"}, {act::SetUnits{}, act::SetUnits{}}, 0},
        row::Button{"row:again", "Measure rider height again", "as in step 1, rider on, after a bounce",
                    act::OpenTag{}, true, false}};
    v.primary = {"Keep as baseline", std::nullopt, "First say why it is kept although it is not restored."};
    v.notice = Notice{"Rider height 459.9 mm is written down.", "Undo", act::Undo{}, Ink::ink};
    return v;
}

inline PageView empty() {
    PageView v = frame("Bikes");
    v.can_go_back = false;
    v.who = "who is working?";
    v.saved = "";
    v.panel.rows = {
        row::Note{"No bike yet. A name and one leverage ratio are enough to begin.", Ink::ink, false, false}};
    v.primary = {"Add a bike", act::AddBike{}, ""};
    return v;
}

struct Named {
    const char* name;
    PageView view;
};
inline std::vector<Named> all() {
    return {{"before", before()},         {"answer", answer()},   {"pad", pad()},
            {"pad_inches", pad_inches()}, {"letters", letters()}, {"question", question()},
            {"cards", cards()},           {"verdict", verdict()}, {"empty", empty()}};
}

}  // namespace restand::pages
