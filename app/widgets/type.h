#pragma once
// The typeface in the sizes of the page. Sizes are cap heights in millimetres on the screen; the ratio of cap
// height to ImGui's font size (ascender − descender) is read from the font itself. Lines are set by their
// baseline.

#include <array>
#include <string_view>

#include "app/widgets/rect.h"

struct ImFont;
struct ImFontAtlas;

namespace restand {

enum class Face { small, body, bold, head, value, pad, answer };
inline constexpr std::size_t face_count = 7;

/// Cap height in mm at 100 % text.
float cap_height_mm(Face face);
/// Words are never smaller, unless the person chose smaller letters; a drawing's tags and notices, whose room
/// is short, may go down to the second.
inline constexpr float caption_floor_mm = 2.5f, tag_floor_mm = 1.9f;

/// A text broken into lines. More than `most` lines: the last one holds the rest.
struct Lines {
    static constexpr std::size_t most = 40;
    std::array<std::string_view, most> line{};
    std::size_t count = 0;
    float scale = 1;  ///< below 1 where a word is wider than the room
};

class Type {
public:
    /// Draws all faces into the atlas. `scale` = text percent / 100.
    void build(ImFontAtlas& atlas, float px_per_mm, float scale);

    ImFont* font(Face face) const { return fonts_[static_cast<std::size_t>(face)]; }
    float cap(Face face) const { return caps_[static_cast<std::size_t>(face)]; }  ///< px
    float pitch(Face face) const { return cap(face) * 1.62f; }                    ///< line to line, px
    float tail(Face face) const { return cap(face) * 0.3f; }                      ///< below the baseline, px
    /// Letters that reach below the baseline. A number's decimal comma counts as a point.
    static bool has_tail(std::string_view text) {
        if (text.find_first_not_of("0123456789.,") == text.npos) return false;
        return text.find_first_of("gjpqyQ,;()[]{}/|_$@") != text.npos;
    }
    float width(Face face, std::string_view text) const;  ///< px
    /// 1, or less where one line is wider than `room`.
    float fit(Face face, std::string_view text, float room) const;
    /// How far letters may shrink.
    float floor_scale(Face face, float px_per_mm) const;
    /// Breaks at spaces and newlines, a path also after its slashes.
    Lines wrap(Face face, std::string_view text, float room, float scale = 1) const;
    /// From the caps' top of the first line to under the tails of the last, px.
    float height(Face face, const Lines& lines) const;
    float height(Face face, std::string_view text, float room) const {
        return height(face, wrap(face, text, room));
    }

private:
    std::size_t word_end(Face face, std::string_view text, std::size_t at, float room) const;

    float text_scale_ = 1;
    std::array<ImFont*, face_count> fonts_{};
    std::array<float, face_count> caps_{};
};

}  // namespace restand
