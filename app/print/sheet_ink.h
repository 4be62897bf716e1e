#pragma once
// Draws on one page of a PDF, in millimetres from the page's top left. Independent of bikes.
//
// Cairo, because it embeds fonts with CFF outlines; the text stays text. What is not UTF-8 becomes '?'.

#include <cairo.h>

#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "app/print/sheet_pdf.h"

namespace restand::paper {

enum class Colour { black, blue, white };  // blue: the baseline's pen
struct Box {
    double x = 0, y = 0, w = 0, h = 0;
    double right() const { return x + w; }
    double bottom() const { return y + h; }
};
struct Type {
    double size = 4;  // em size, mm
    bool bold = false;
};

inline constexpr double margin = 12;                          // mm, nothing is printed outside
inline constexpr double wide_line = 0.5, narrow_line = 0.25;  // ISO 128-20: two to one
Box page_box(Paper paper);

class Ink {
public:
    // Error damaged: subject = the face that is not a font.
    static Result<Ink> open(Paper paper, const PaperFaces& faces);

    double width(std::string_view text, Type type) const;
    // Lines no wider than `room`; a word that is wider is broken. At least one line, and no more than a page
    // can hold.
    std::vector<std::string> wrapped(std::string_view text, Type type, double room) const;

    void text(double x, double base, std::string_view text, Type type, Colour colour = Colour::black);
    void line(std::span<const PaperSpot> points, PaperLine::Pen pen, Colour colour, bool closed = false);
    void fill(std::span<const PaperSpot> points, Colour colour);
    void box(const Box& box, double pen_width, Colour colour = Colour::black);
    void arrowhead(PaperSpot at, PaperSpot from, Colour colour);  // filled, 15° (ISO 129-1)
    void clip(const Box& box);
    void unclip();

    // The bytes; nothing can be drawn afterwards. Error io.
    Result<std::string> close(const std::string& title, std::int64_t made_ms);

private:
    struct Free {
        void operator()(cairo_t* c) const { cairo_destroy(c); }
        void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
        void operator()(cairo_font_face_t* f) const { cairo_font_face_destroy(f); }
    };
    Ink() = default;
    void use(Type type) const;
    void trace(std::span<const PaperSpot> points, bool closed);

    std::unique_ptr<std::string> bytes_;  // where the surface writes to; outlives it
    std::unique_ptr<cairo_font_face_t, Free> regular_, bold_;
    std::unique_ptr<cairo_surface_t, Free> surface_;
    std::unique_ptr<cairo_t, Free> cairo_;
};

}  // namespace restand::paper
