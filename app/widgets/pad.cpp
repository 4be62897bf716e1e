#include "app/widgets/pad.h"
#include "app/pad/pad_actions.h"

#include <algorithm>
#include <array>
#include <string>
#include <utility>

#include "app/widgets/key.h"
#include "app/widgets/side_panel.h"

namespace restand {
namespace {

constexpr float gap_mm = 2.1f, margin_mm = 2.0f, key_mm = 20.05f, letter_mm = 12.1f, primary_mm = 15.2f;
constexpr float unread_mm = 18.0f;
constexpr int letter_columns = 9, letter_rows = 6;

constexpr std::size_t side_rows = 3;  // the fourth place of a column is for the primary

struct SideKey {
    const char* id = "";
    std::string_view label{};
    Action tap{};
    Sign sign = Sign::none;
    bool chosen = false;
};
using SideColumn = std::array<std::optional<SideKey>, side_rows>;

// Each key has its place in its column on every pad; a column that is empty is left out.
std::vector<SideColumn> side_columns(const PadView& pad) {
    SideColumn always, state, fraction;
    always[0] = SideKey{"key:erase", "", act::PadErase{}, Sign::erase};
    if (!pad.unit.empty()) always[1] = SideKey{"key:unit", pad.unit, act::PadUnit{}};
    if (!pad.instrument.empty()) always[2] = SideKey{"key:instrument", pad.instrument, act::PadInstrument{}};
    if (!pad.settled.empty())
        state[0] = SideKey{"key:settled", pad.settled, act::PadSettled{}, Sign::none, pad.settled_anew};
    if (!pad.where.empty()) {
        Field where;
        where.of = Field::Of::where;
        state[1] = SideKey{"key:where", pad.where, act::OpenTag{where}};
    }
    if (pad.sign) state[2] = SideKey{"key:sign", "+/\u2212", act::PadSign{}};
    if (pad.fractions) {
        fraction[0] = SideKey{"key:/", "/", act::PadText{"/"}};
        fraction[1] = SideKey{"key:space", "space", act::PadText{" "}};
    }
    std::vector<SideColumn> columns{always};
    const auto used = [](const SideColumn& c) {
        return std::count_if(c.begin(), c.end(), [](const auto& k) { return k.has_value(); });
    };
    const auto all = static_cast<std::size_t>(used(always) + used(state) + used(fraction));
    if (used(state) > 0) columns.push_back(state);
    if (used(fraction) > 0 && (columns.size() < 2 || all > 2 * side_rows)) {
        columns.push_back(fraction);
    } else if (used(fraction) > 0) {
        // No third column while two have room.
        for (auto& key : fraction)
            for (SideColumn& column : columns)
                for (auto& place : column)
                    if (key && !place) place = std::exchange(key, std::nullopt);
    }
    return columns;
}

int key_columns(const PadView& pad) {
    return pad.letters ? letter_columns : 3 + static_cast<int>(side_columns(pad).size());
}

float least_key(const PadView& pad) {
    return pad.letters ? letter_mm : key_mm;
}

float keys_height_mm(const PadView& pad) {
    return pad.letters ? (letter_rows - 1) * (letter_mm + gap_mm) + primary_mm : 4 * key_mm + 3 * gap_mm;
}

// ---- what is typed
// ----------------------------------------------------------------------------------------------

// The area above the keys; heights in px. Title and numbers shrink where the keys leave little height; small words
// keep their floor, and summary or problem takes the place of what was read last.
struct Head {
    float scale = 1, small = 1, names = 0, boxes = 0, words = 0;
    bool in_place_of_last = false;
    float all(float gap) const { return names + gap + boxes + (words > 0 ? gap + words : 0); }
};

float last_key_width(const Canvas& c, const PadView& pad, float width, float scale) {
    if (pad.last_value.empty()) return 0;
    return std::min(0.4f * width,
                    std::max(c.mm(20), c.type.width(Face::value, pad.last_value) * scale + c.mm(5)));
}

const std::string& words_of(const PadView& pad) {
    return pad.problem.empty() ? pad.summary : pad.problem;
}

const std::string& under_title(const PadView& pad, const Head& head) {
    return head.in_place_of_last && !words_of(pad).empty() ? words_of(pad) : pad.last_label;
}

float names_width(const Canvas& c, const PadView& pad, float width, float scale) {
    const float gap = c.mm(gap_mm), last_key = last_key_width(c, pad, width, scale);
    return width - c.mm(letter_mm) - gap - (last_key > 0 ? last_key + gap : 0);
}

float names_height(const Canvas& c, const PadView& pad, float width, const Head& head) {
    const float beside = names_width(c, pad, width, head.scale);
    float tall =
        c.type.height(Face::head, c.type.wrap(Face::head, pad.title, beside, head.scale)) + c.mm(0.8f);
    if (const std::string& under = under_title(pad, head); !under.empty())
        tall += c.mm(0.8f) + c.type.height(Face::small, c.type.wrap(Face::small, under, beside, head.small));
    return std::max(c.mm(letter_mm), tall);
}

Head head_of(const Canvas& c, const PadView& pad, float width, float room) {
    Head head;
    const float gap = c.mm(gap_mm), floor = c.floor_scale(Face::small), least = c.floor_scale(Face::head);
    const std::string& words = words_of(pad);
    for (;; head.scale *= 0.93f) {
        head.small = std::max(head.scale, floor);
        for (const bool in_place : {false, true}) {
            head.in_place_of_last = in_place;
            head.names = names_height(c, pad, width, head);
            head.boxes = std::max(c.mm(letter_mm), c.type.cap(Face::value) * head.scale + c.mm(5));
            head.words = words.empty() || in_place
                             ? 0
                             : c.type.height(Face::small, c.type.wrap(Face::small, words, width, head.small));
            if (head.all(gap) <= room || (in_place && head.scale * 0.93f < least)) return head;
        }
    }
}

// `replaced`: the next key begins a new number, so the line stands under all of this one, not at its end.
void draw_entry(Canvas& c, std::string_view text, bool replaced, const Rect& box) {
    c.note(Drawn::Kind::panel, "entry", box);
    const Canvas::Inside inside(c, "entry", box);
    c.fill(box, c.paper.warm, 0.6f);
    c.frame(box, c.line_of(Ink::now), 0.7f, 0.6f);
    const Rect in = box.inset(c.mm(1.5f), c.mm(1));
    const float mark = c.mm(2.2f);
    const float wide = c.line_in(Face::value, text, {in.x, in.y, in.w - mark, in.h}, c.text_of(Ink::now));
    const float cap = std::min(c.type.cap(Face::value), in.h * 0.7f);
    const float from = replaced ? in.x : in.x + wide + c.mm(0.3f), across = replaced ? wide : c.mm(1.9f);
    c.fill({from, in.middle_y() + cap * 0.56f, across, std::max(2.0f, c.mm(0.5f))}, c.line_of(Ink::now));
}

// Kept repeats, the one being typed, and an empty box for the next.
void draw_boxes(Canvas& c, const PadView& pad, const Rect& row) {
    if (pad.read)
        key(c, "key:unread", {row.right() - c.mm(unread_mm), row.y, c.mm(unread_mm), row.h}, "not read",
            act::PadUnread{}, {.face = Face::small});
    if (!pad.repeatable && pad.repeats.empty()) {
        const float out = pad.read ? c.mm(unread_mm + gap_mm) : 0;
        return draw_entry(c, pad.entry, pad.replaced, {row.x, row.y, row.w - out, row.h});
    }
    const float gap = c.mm(gap_mm), least = c.mm(15), add = pad.repeatable ? c.mm(letter_mm) + gap : 0;
    const float out = pad.read ? c.mm(unread_mm) + gap : 0, room = row.w - add - out;
    const auto most = static_cast<std::size_t>(std::max(1.0f, (room + gap) / (least + gap)));
    // The newest are shown; how many there are is said in the first box when not all are.
    const std::size_t kept = pad.repeats.size();
    std::size_t boxes = std::min(kept + 1, most);
    const bool more = boxes < kept + 1;
    if (more) boxes = std::max<std::size_t>(2, boxes);
    const auto across = static_cast<float>(boxes);
    Rect box{row.x, row.y, std::min((room - gap * (across - 1)) / across, std::max(least, row.w * 0.42f)),
             row.h};
    const auto next = [&] { box.x += box.w + gap; };
    for (std::size_t i = 0; i + 1 < boxes; ++i, next()) {
        if (i == 0 && more) {
            const Canvas::Inside inside(c, "repeats", box);
            c.block_in(Face::small, std::to_string(kept) + " kept", box.inset(c.mm(0.5f)),
                       c.text_of(Ink::ink));
            continue;
        }
        const std::size_t index = kept + 1 - boxes + i;
        key(c, "repeat:" + std::to_string(index), box, pad.repeats[index], act::PadDropRepeat{index},
            {.face = Face::value});
    }
    draw_entry(c, pad.entry, pad.replaced, box);
    next();
    if (!pad.repeatable) return;
    box.w = c.mm(letter_mm);
    key(c, "repeat:add", box, "+", act::PadRepeat{}, {.face = Face::value});
}

// Key that types the last value, or the one that is to be set.
void draw_same(Canvas& c, const PadView& pad, const Rect& at, float scale) {
    key(c, "key:same", at, "", act::PadSame{}, {.ink = Ink::baseline});
    const Canvas::Inside inside(c, "key:same", at);
    const Rect in = at.inset(c.mm(1.5f), c.mm(1.2f));
    c.line_in(Face::small, pad.same_label, {in.x, in.y, in.w, in.h * 0.43f}, c.text_of(Ink::baseline),
              Align::centre, std::max(scale, c.floor_scale(Face::small)));
    c.line_in(Face::value, pad.last_value, {in.x, in.y + in.h * 0.43f, in.w, in.h * 0.57f},
              c.text_of(Ink::baseline), Align::centre, scale);
}

// On a display as low as the keys there is one line of words above one row: the boxes, 'as last' and the cross.
float low_head_height(const Canvas& c) {
    return c.type.cap(Face::small) * c.floor_scale(Face::small) * 1.3f + c.mm(1.2f + letter_mm);
}

void draw_low_head(Canvas& c, const PadView& pad, const Rect& area) {
    const float gap = c.mm(gap_mm), close = c.mm(letter_mm), words = area.h - close - c.mm(1.2f);
    const bool problem = !pad.problem.empty();
    const std::string& more = words_of(pad);
    const std::string said =
        problem || more.empty() ? (problem ? pad.problem : pad.title) : pad.title + " \u00b7 " + more;
    const float floor = c.floor_scale(Face::small), wide = c.type.width(Face::small, said);
    const float scale = std::clamp(area.w / std::max(1.0f, wide), std::min(1.0f, floor), 1.0f);
    const std::string& fits = wide * scale > area.w && !problem ? pad.title : said;
    c.line_in(Face::small, fits, {area.x, area.y, area.w, words}, c.text_of(problem ? Ink::stop : Ink::ink),
              Align::left, scale);
    const float y = area.bottom() - close;
    float right = area.right() - close;
    key(c, "key:close", {right, y, close, close}, "", act::CloseTag{}, {.sign = Sign::close});
    if (const float last = last_key_width(c, pad, area.w, 1); last > 0) {
        right -= gap + last;
        draw_same(c, pad, {right, y, last, close}, 1);
    }
    draw_boxes(c, pad, {area.x, y, right - gap - area.x, close});
}

void draw_head(Canvas& c, const PadView& pad, const Rect& area) {
    const float gap = c.mm(gap_mm), close = c.mm(letter_mm);
    const Head head = head_of(c, pad, area.w, area.h);
    key(c, "key:close", {area.right() - close, area.y, close, close}, "", act::CloseTag{},
        {.sign = Sign::close});
    if (const float wide = last_key_width(c, pad, area.w, head.scale); wide > 0) {
        const Rect at{area.right() - close - gap - wide, area.y, wide, close};
        draw_same(c, pad, at, head.scale);
    }
    const float beside = names_width(c, pad, area.w, head.scale);
    const float used = c.mm(0.8f) + c.paragraph(Face::head, pad.title, area.x, area.y + c.mm(0.8f), beside,
                                                c.text_of(Ink::ink), Align::left, head.scale);
    const Colour said = c.text_of(pad.problem.empty() ? Ink::ink : Ink::stop);
    if (const std::string& under = under_title(pad, head); !under.empty()) {
        const float tall = c.type.height(Face::small, c.type.wrap(Face::small, under, beside, head.small));
        const float y = std::max(area.y + used + c.mm(0.8f), area.y + close - tall - c.mm(0.6f));
        c.paragraph(Face::small, under, area.x, y, beside,
                    &under == &pad.last_label ? c.text_of(Ink::baseline) : said, Align::left, head.small);
    }
    const Rect row{area.x, area.y + head.names + gap, area.w, head.boxes};
    if (head.words > 0)
        c.paragraph(Face::small, words_of(pad), area.x, row.bottom() + gap, area.w, said, Align::left,
                    head.small);
    draw_boxes(c, pad, row);
}

// ---- keys
// -------------------------------------------------------------------------------------------------------

struct Grid {
    Rect area;
    float gap, wide, tall, least_mm;
    Rect at(int column, int line, int across = 1) const {
        return {area.x + static_cast<float>(column) * (wide + gap),
                area.y + static_cast<float>(line) * (tall + gap),
                wide * static_cast<float>(across) + gap * static_cast<float>(across - 1), tall};
    }
};

// A key reaches down over empty places below it.
void draw_side_column(Canvas& c, const SideColumn& keys, const Grid& grid, int column) {
    for (std::size_t row = 0; row < side_rows; ++row) {
        if (!keys[row]) continue;
        std::size_t end = row + 1;
        while (end < side_rows && !keys[end]) ++end;
        Rect at = grid.at(column, static_cast<int>(row));
        at.h += static_cast<float>(end - row - 1) * (grid.tall + grid.gap);
        const SideKey& side = *keys[row];
        const bool wide = c.type.width(Face::value, side.label) > at.w - c.mm(3);
        key(c, side.id, at, side.label, side.tap,
            {.face = wide ? Face::small : Face::value,
             .least_mm = grid.least_mm,
             .sign = side.sign,
             .chosen = side.chosen});
    }
}

void draw_digits(Canvas& c, const PadView& pad, const Primary& primary, const Grid& grid,
                 bool primary_inside) {
    const KeyLook digit{.face = Face::pad, .least_mm = grid.least_mm};
    static constexpr std::array<std::string_view, 11> keys{"7", "8", "9", "4", "5", "6",
                                                           "1", "2", "3", ".", "0"};
    for (std::size_t i = 0; i < keys.size(); ++i) {
        const int column = static_cast<int>(i) % 3, line = static_cast<int>(i) / 3;
        key(c, "key:" + std::string(keys[i]), grid.at(column, line), keys[i],
            act::PadText{std::string(keys[i])}, digit);
    }
    const auto columns = side_columns(pad);
    for (std::size_t i = 0; i < columns.size(); ++i)
        draw_side_column(c, columns[i], grid, 3 + static_cast<int>(i));
    if (primary_inside) draw_primary(c, primary, grid.at(2, 3, key_columns(pad) - 2));
}

void draw_letters(Canvas& c, const PadView& pad, const Primary& primary, const Grid& grid, float last_row,
                  PadUi& ui) {
    static constexpr std::array<std::string_view, 5> rows{"abcd#'789", "efgh,:456", "ijklmn123", "opqrst.0-",
                                                          "uvwxyz/()"};
    const bool upper = pad.entry.empty() != ui.other_case;
    for (std::size_t line = 0; line < rows.size(); ++line) {
        for (std::size_t column = 0; column < rows[line].size(); ++column) {
            const char letter = rows[line][column];
            const bool is_letter = letter >= 'a' && letter <= 'z';
            const std::string label(1, is_letter && upper ? static_cast<char>(letter - 'a' + 'A') : letter);
            key(c, std::string("key:") + letter, grid.at(static_cast<int>(column), static_cast<int>(line)),
                label, act::PadText{label}, {.face = Face::value});
        }
    }
    const auto bottom = [&](int column, int across) {
        Rect at = grid.at(column, letter_rows - 1, across);
        at.h = last_row;
        return at;
    };
    key(c, "key:shift", bottom(0, 1), "", std::nullopt,
        {.sign = Sign::shift, .chosen = upper, .local = Local::shift});
    key(c, "key:space", bottom(1, 2), "space", act::PadText{" "}, {.face = Face::small});
    key(c, "key:erase", bottom(3, 2), "", act::PadErase{}, {.sign = Sign::erase});
    draw_primary(c, primary, bottom(5, 4));
}

// The question replaces the keys and the primary: one of its answers comes next.
void draw_question(Canvas& c, const PadView& pad, const Rect& in) {
    const float gap = c.mm(gap_mm);
    const float key_tall = std::clamp((in.h - gap) * 0.3f, c.mm(letter_mm), c.mm(28));
    const float room = in.h - 2 * key_tall - 2 * gap;
    c.block_in(Face::head, pad.question_text, {in.x, in.y, in.w, room}, c.text_of(Ink::ink), Align::left);
    const float y = in.bottom() - 2 * key_tall - gap, least = std::min(20.0f, key_tall / c.mm(1) - 0.05f);
    key(c, "question:yes", {in.x, y, in.w, key_tall}, "Yes, keep it", act::ConfirmSame{true},
        {.face = Face::head, .least_mm = least});
    key(c, "question:no", {in.x, y + key_tall + gap, in.w, key_tall}, "No, measure again",
        act::ConfirmSame{false}, {.face = Face::head, .ink = Ink::now, .least_mm = least});
}

}  // namespace

float pad_width(const Canvas& c, const PadView& pad) {
    const auto columns = static_cast<float>(key_columns(pad));
    return c.mm(columns * least_key(pad) + (columns - 1) * gap_mm + 2 * margin_mm);
}

float pad_height(const Canvas& c, const PadView& pad) {
    return c.mm(keys_height_mm(pad) + 2 * margin_mm + gap_mm + 2 * letter_mm + gap_mm + 1);
}

void draw_pad(Canvas& c, const PadView& pad, const Primary& primary, const Rect& area, PadUi& ui) {
    c.place = Region::pad;
    draw_paper(c, area);
    c.note(Drawn::Kind::panel, "pad", area);
    const Canvas::Inside inside(c, "pad", area);
    const Rect in = area.inset(c.mm(margin_mm));
    const float gap = c.mm(gap_mm);
    const auto columns = static_cast<float>(key_columns(pad));
    const float wide = (in.w - gap * (columns - 1)) / columns;
    const float least = c.mm(least_key(pad)), lines = pad.letters ? letter_rows : 4;
    const float keys_wanted = c.mm(keys_height_mm(pad));
    const float head_least = head_of(c, pad, in.w, 0).all(gap) + gap;
    // Lower than the smallest keys under a whole head.
    const bool low = in.h < head_least + keys_wanted - lines * (least - c.mm(letter_mm));
    const float below = low ? 0 : primary_height(c, primary, in.w);
    const float wanted = low ? low_head_height(c) + gap : head_of(c, pad, in.w, 1e6f).all(gap) + gap;
    const bool inside_keys = pad.letters || in.h - wanted - keys_wanted < below + gap;
    // Keys grow with the space, up to 1.5 thumb widths; on a display lower than the pad they shrink.
    const float spare = std::max(0.0f, in.h - wanted - keys_wanted - (inside_keys ? 0 : below + gap));
    const float short_of = std::max(0.0f, (low ? wanted : head_least) + keys_wanted - in.h);
    const float grow = short_of > 0 ? -short_of / lines : std::min(spare / lines, least * 0.3f);
    const float keys = keys_wanted + grow * lines;

    Rect head{in.x, in.y, in.w, in.h - keys - gap - (inside_keys ? 0 : below + gap)};
    if (low)
        draw_low_head(c, pad, {in.x, in.y, in.w, low_head_height(c)});
    else
        draw_head(c, pad, head);
    if (pad.question) {
        const float used =
            (low ? low_head_height(c) : std::min(head.h, head_of(c, pad, in.w, head.h).all(gap))) + 2 * gap;
        return draw_question(c, pad, {in.x, in.y + used, in.w, in.h - used});
    }
    const float foot = inside_keys ? 0 : below + gap;
    const Grid grid{{in.x, in.bottom() - foot - keys, in.w, keys},
                    gap,
                    wide,
                    least + grow,
                    std::min(20.0f, (least + grow) / c.mm(1) - 0.05f)};
    if (pad.letters) {
        draw_letters(c, pad, primary, grid, c.mm(primary_mm) + grow, ui);
    } else {
        draw_digits(c, pad, primary, grid, inside_keys);
        if (!inside_keys) draw_primary(c, primary, {in.x, in.bottom() - below, in.w, below});
    }
}

}  // namespace restand
