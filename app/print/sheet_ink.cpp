#include "app/print/sheet_ink.h"

#include <cairo-ft.h>
#include <cairo-pdf.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "core/codec/time_text.h"

namespace restand::paper {
namespace {

constexpr double points_per_mm = 72 / 25.4;
constexpr std::size_t most_lines = 120;  // of 3 mm and more: longer than any page

struct Face {
    FT_Library library = nullptr;
    FT_Face face = nullptr;
    ~Face() {
        if (face) FT_Done_Face(face);
        if (library) FT_Done_FreeType(library);
    }
};

// Cairo keeps fonts for later use: a face lives until Cairo lets go of it, not until the page is done.
cairo_font_face_t* face_of(std::span<const unsigned char> bytes) {
    static const cairo_user_data_key_t owner{};
    auto face = std::make_unique<Face>();
    if (FT_Init_FreeType(&face->library) != 0) return nullptr;
    if (FT_New_Memory_Face(face->library, bytes.data(), static_cast<FT_Long>(bytes.size()), 0, &face->face) !=
        0)
        return nullptr;
    cairo_font_face_t* font = cairo_ft_font_face_create_for_ft_face(face->face, FT_LOAD_NO_HINTING);
    const auto free = [](void* p) { delete static_cast<Face*>(p); };
    if (cairo_font_face_set_user_data(font, &owner, face.get(), free) != CAIRO_STATUS_SUCCESS) {
        cairo_font_face_destroy(font);
        return nullptr;
    }
    face.release();
    return font;
}

cairo_status_t append(void* bytes, const unsigned char* data, unsigned int length) {
    static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
}

// How many bytes the character at `at` has; 0: no UTF-8 (RFC 3629, overlong forms and surrogates refused).
std::size_t character(std::string_view text, std::size_t at) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned char first = byte(at);
    if (first < 0x80) return 1;
    const std::size_t length = first >= 0xf0 ? 4 : first >= 0xe0 ? 3 : 2;
    if (first < 0xc2 || first > 0xf4 || at + length > text.size()) return 0;
    for (std::size_t i = 1; i < length; ++i)
        if ((byte(at + i) & 0xc0) != 0x80) return 0;
    const unsigned char second = byte(at + 1);
    const bool bad = (first == 0xe0 && second < 0xa0) || (first == 0xed && second > 0x9f) ||
                     (first == 0xf0 && second < 0x90) || (first == 0xf4 && second > 0x8f);
    return bad ? 0 : length;
}

// What Cairo can print: UTF-8 without control characters. It would refuse the whole page for one bad byte.
std::string printable(std::string_view text) {
    std::string clean;
    clean.reserve(text.size());
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t length = character(text, at);
        const auto first = static_cast<unsigned char>(text[at]);
        if (length == 0)
            clean += '?';
        else if (first < 0x20 || first == 0x7f)
            clean += ' ';
        else
            clean += text.substr(at, length);
        at += std::max<std::size_t>(1, length);
    }
    return clean;
}

// ISO 128-20, lines 02, 04 and 05 with d the line's width: dash 12 d, long dash 24 d, gap 3 d, dot half d.
std::span<const double> dashes(PaperLine::Pen pen) {
    constexpr double d = narrow_line;
    static constexpr std::array hidden{12 * d, 3 * d};
    static constexpr std::array axis{24 * d, 3 * d, d / 2, 3 * d};
    static constexpr std::array ghost{24 * d, 3 * d, d / 2, 3 * d, d / 2, 3 * d};
    switch (pen) {
        case PaperLine::Pen::hidden:
            return hidden;
        case PaperLine::Pen::axis:
            return axis;
        case PaperLine::Pen::ghost:
            return ghost;
        default:
            return {};
    }
}

void set_colour(cairo_t* c, Colour colour) {
    if (colour == Colour::blue)
        cairo_set_source_rgb(c, 0, 0x4c / 255.0, 0x88 / 255.0);
    else
        cairo_set_source_rgb(c, colour == Colour::white, colour == Colour::white, colour == Colour::white);
}

}  // namespace

Box page_box(Paper paper) {
    // ISO 216 A4; ANSI/ASME Y14.1 A
    return paper == Paper::a4 ? Box{0, 0, 210, 297} : Box{0, 0, 215.9, 279.4};
}

Result<Ink> Ink::open(Paper paper, const PaperFaces& faces) {
    Ink ink;
    ink.regular_.reset(face_of(faces.regular));
    ink.bold_.reset(face_of(faces.bold));
    if (!ink.regular_ || !ink.bold_)
        return Error{ErrorCode::damaged, ink.regular_ ? "bold" : "regular", "font"};
    ink.bytes_ = std::make_unique<std::string>();
    const Box page = page_box(paper);
    ink.surface_.reset(cairo_pdf_surface_create_for_stream(append, ink.bytes_.get(), page.w * points_per_mm,
                                                           page.h * points_per_mm));
    ink.cairo_.reset(cairo_create(ink.surface_.get()));
    cairo_t* c = ink.cairo_.get();
    cairo_scale(c, points_per_mm, points_per_mm);
    cairo_set_line_join(c, CAIRO_LINE_JOIN_ROUND);
    cairo_set_line_cap(c, CAIRO_LINE_CAP_BUTT);
    // Widths must not depend on a screen's pixels.
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_set_font_options(c, options);
    cairo_font_options_destroy(options);
    return ink;
}

void Ink::use(Type type) const {
    cairo_set_font_face(cairo_.get(), type.bold ? bold_.get() : regular_.get());
    cairo_set_font_size(cairo_.get(), type.size);
}

double Ink::width(std::string_view text, Type type) const {
    use(type);
    cairo_text_extents_t extents;
    cairo_text_extents(cairo_.get(), printable(text).c_str(), &extents);
    return extents.x_advance;
}

std::vector<std::string> Ink::wrapped(std::string_view words, Type type, double room) const {
    const std::string text = printable(words);
    std::vector<std::string> lines(1);
    for (std::size_t at = 0; at < text.size() && lines.size() < most_lines;) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        std::string word = text.substr(at, end - at);
        at = end + 1;
        std::string& line = lines.back();
        const std::string longer = line.empty() ? word : line + " " + word;
        if (width(longer, type) <= room) {
            line = longer;
            continue;
        }
        if (!line.empty()) lines.emplace_back();
        // A word without spaces, longer than the line: broken between characters.
        for (std::size_t i = 0; i < word.size() && lines.size() < most_lines;) {
            const std::size_t length = std::max<std::size_t>(1, character(word, i));
            const std::string more = lines.back() + word.substr(i, length);
            if (!lines.back().empty() && width(more, type) > room)
                lines.push_back(word.substr(i, length));
            else
                lines.back() = more;
            i += length;
        }
    }
    return lines;
}

void Ink::text(double x, double base, std::string_view text, Type type, Colour colour) {
    if (text.empty()) return;
    use(type);
    set_colour(cairo_.get(), colour);
    cairo_move_to(cairo_.get(), x, base);
    cairo_show_text(cairo_.get(), printable(text).c_str());
    cairo_new_path(cairo_.get());
}

void Ink::trace(std::span<const PaperSpot> points, bool closed) {
    cairo_new_path(cairo_.get());
    for (const PaperSpot& p : points) cairo_line_to(cairo_.get(), p.x, p.y);
    if (closed) cairo_close_path(cairo_.get());
}

void Ink::line(std::span<const PaperSpot> points, PaperLine::Pen pen, Colour colour, bool closed) {
    cairo_t* c = cairo_.get();
    trace(points, closed);
    set_colour(c, colour);
    cairo_set_line_width(c, pen == PaperLine::Pen::wide ? wide_line : narrow_line);
    const auto pattern = dashes(pen);
    cairo_set_dash(c, pattern.data(), static_cast<int>(pattern.size()), 0);
    cairo_stroke(c);
}

void Ink::fill(std::span<const PaperSpot> points, Colour colour) {
    trace(points, true);
    set_colour(cairo_.get(), colour);
    cairo_fill(cairo_.get());
}

void Ink::box(const Box& box, double pen_width, Colour colour) {
    cairo_t* c = cairo_.get();
    cairo_new_path(c);
    cairo_rectangle(c, box.x, box.y, box.w, box.h);
    set_colour(c, colour);
    cairo_set_line_width(c, pen_width);
    cairo_set_dash(c, nullptr, 0, 0);
    cairo_stroke(c);
}

void Ink::arrowhead(PaperSpot at, PaperSpot from, Colour colour) {
    constexpr double length = 2.2, half = 0.29;  // tan 7.5° · length
    const double dx = from.x - at.x, dy = from.y - at.y, far = std::hypot(dx, dy);
    if (far < 1e-9) return;
    const double ux = dx / far, uy = dy / far;
    const std::array<PaperSpot, 3> corners{
        at, PaperSpot{at.x + ux * length - uy * half, at.y + uy * length + ux * half},
        PaperSpot{at.x + ux * length + uy * half, at.y + uy * length - ux * half}};
    fill(corners, colour);
}

void Ink::clip(const Box& box) {
    cairo_save(cairo_.get());
    cairo_new_path(cairo_.get());
    cairo_rectangle(cairo_.get(), box.x, box.y, box.w, box.h);
    cairo_clip(cairo_.get());
}

void Ink::unclip() {
    cairo_restore(cairo_.get());
}

Result<std::string> Ink::close(const std::string& title, std::int64_t made_ms) {
    cairo_surface_t* s = surface_.get();
    cairo_pdf_surface_set_metadata(s, CAIRO_PDF_METADATA_TITLE, printable(title).c_str());
    cairo_pdf_surface_set_metadata(s, CAIRO_PDF_METADATA_CREATOR, "Restand");
    // Without a date Cairo uses the clock, and prints of the same page would differ. To the end of 9999: four
    // digits of a year.
    const std::int64_t drawn_ms = std::clamp<std::int64_t>(made_ms, 0, 253402300799000);
    cairo_pdf_surface_set_metadata(s, CAIRO_PDF_METADATA_CREATE_DATE, iso_time(drawn_ms).c_str());
    cairo_show_page(cairo_.get());
    const cairo_status_t drawn = cairo_status(cairo_.get());
    cairo_.reset();
    cairo_surface_finish(s);
    const cairo_status_t written = cairo_surface_status(s);
    const cairo_status_t status = drawn != CAIRO_STATUS_SUCCESS ? drawn : written;
    if (status != CAIRO_STATUS_SUCCESS) return Error{ErrorCode::io, "PDF", cairo_status_to_string(status)};
    return std::move(*bytes_);
}

}  // namespace restand::paper
