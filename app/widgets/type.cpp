#include "app/widgets/type.h"

#include <ft2build.h>
#include FT_FREETYPE_H
#include FT_TRUETYPE_TABLES_H
#include <imgui.h>
#include <imgui_freetype.h>

#include <cmath>
#include <span>

#include "app/widgets/font_data.h"

namespace restand {
namespace {

// Glyph ranges that a name or a note may use.
constexpr ImWchar wide_range[] = {
    0x20,   0x7e,   0xa0,   0xff,   0x152,  0x153,  0x160,  0x161,  0x178,  0x178,  0x192,  0x192,  0x391,
    0x3c9,  0x2010, 0x2026, 0x2030, 0x203a, 0x2070, 0x208e, 0x20ac, 0x20ac, 0x2122, 0x2126, 0x2153, 0x215e,
    0x2190, 0x2199, 0x2212, 0x221e, 0x2248, 0x2248, 0x2260, 0x2265, 0x2713, 0x2713, 0};
// Glyphs of large numbers and keys.
constexpr ImWchar number_range[] = {
    0x20,   0x7e,   0xb0,   0xb1,   0xb7,   0xb7,   0xbc,   0xbe,   0xd7,   0xd7,   0xc4, 0xc4,   0xd6,
    0xd6,   0xdc,   0xdc,   0xdf,   0xdf,   0xe4,   0xe4,   0xf6,   0xf6,   0xfc,   0xfc, 0x2013, 0x2014,
    0x2018, 0x201d, 0x2026, 0x2026, 0x215b, 0x215e, 0x2190, 0x2193, 0x2212, 0x2212, 0};

// Cap height over (ascender − descender); 0.7 for a font that does not say.
float cap_ratio(std::span<const unsigned char> bytes) {
    float ratio = 0.7f;
    FT_Library library = nullptr;
    if (FT_Init_FreeType(&library) != 0) return ratio;
    FT_Face face = nullptr;
    if (FT_New_Memory_Face(library, bytes.data(), static_cast<FT_Long>(bytes.size()), 0, &face) == 0) {
        const auto* os2 = static_cast<const TT_OS2*>(FT_Get_Sfnt_Table(face, FT_SFNT_OS2));
        const int height = face->ascender - face->descender;
        if (os2 && os2->sCapHeight > 0 && height > 0) {
            ratio = static_cast<float>(os2->sCapHeight) / static_cast<float>(height);
        }
        FT_Done_Face(face);
    }
    FT_Done_FreeType(library);
    return ratio;
}

bool is_bold(Face face) {
    return face != Face::small && face != Face::body;
}

bool is_number_face(Face face) {
    return face == Face::pad || face == Face::answer;
}

}  // namespace

float cap_height_mm(Face face) {
    constexpr std::array<float, face_count> mm{2.5f, 2.8f, 2.8f, 3.4f, 4.0f, 6.2f, 8.0f};
    return mm[static_cast<std::size_t>(face)];
}

void Type::build(ImFontAtlas& atlas, float px_per_mm, float scale) {
    text_scale_ = scale;
    const float regular = cap_ratio(b612_regular()), bold = cap_ratio(b612_bold());
    atlas.Clear();
    atlas.FontBuilderIO = ImGuiFreeType::GetBuilderForFreeType();
    atlas.Flags |= ImFontAtlasFlags_NoMouseCursors | ImFontAtlasFlags_NoBakedLines;
    for (std::size_t i = 0; i < face_count; ++i) {
        const auto face = static_cast<Face>(i);
        const auto bytes = is_bold(face) ? b612_bold() : b612_regular();
        caps_[i] = cap_height_mm(face) * px_per_mm * scale;
        ImFontConfig config;
        config.FontDataOwnedByAtlas = false;
        config.OversampleH = 1;
        config.GlyphRanges = is_number_face(face) ? number_range : wide_range;
        const float size = std::max(6.0f, std::round(caps_[i] / (is_bold(face) ? bold : regular)));
        // ImGui never writes to data that it does not own.
        fonts_[i] = atlas.AddFontFromMemoryTTF(const_cast<unsigned char*>(bytes.data()),
                                               static_cast<int>(bytes.size()), size, &config);
    }
    atlas.Build();
}

float Type::width(Face face, std::string_view text) const {
    if (text.empty()) return 0;
    ImFont* f = font(face);
    return f->CalcTextSizeA(f->FontSize, FLT_MAX, 0, text.data(), text.data() + text.size()).x;
}

float Type::fit(Face face, std::string_view text, float room) const {
    const float wide = width(face, text);
    return wide <= room || wide <= 0 ? 1.0f : std::max(0.0f, room) / wide;
}

// The end of the word at `at`. A path that is wider than the room is broken after its slashes.
std::size_t Type::word_end(Face face, std::string_view text, std::size_t at, float room) const {
    const std::size_t end = std::min(text.find_first_of(" \n", at), text.size());
    if (text.find('/', at) >= end || width(face, text.substr(at, end - at)) <= room) return end;
    std::size_t best = end;
    for (std::size_t slash = text.find('/', at); slash < end; slash = text.find('/', slash + 1)) {
        if (slash == at) continue;
        const bool fits = width(face, text.substr(at, slash + 1 - at)) <= room;
        if (best == end || fits) best = slash + 1;
        if (!fits) break;
    }
    return best;
}

Lines Type::wrap(Face face, std::string_view text, float room, float scale) const {
    Lines lines;
    const auto is_gap = [&](std::size_t at) {
        return at < text.size() && (text[at] == ' ' || text[at] == '\n');
    };
    const float unscaled = room / std::max(scale, 1e-3f);
    // The widest word decides whether letters must shrink.
    float widest = 0;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = word_end(face, text, at, unscaled);
        widest = std::max(widest, width(face, text.substr(at, end - at)));
        at = end + (is_gap(end) ? 1 : 0);
    }
    lines.scale = widest * scale <= room || widest <= 0 ? scale : std::max(1.0f, room) / widest;
    const float most = room / lines.scale + 0.5f, space = width(face, " ");

    std::size_t start = 0, end = 0;
    float wide = 0;
    bool glued = false;  // to the word before it: no space between
    const auto push = [&](std::size_t to) {
        if (lines.count < Lines::most) lines.line[lines.count++] = text.substr(start, to - start);
    };
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t stop = word_end(face, text, at, unscaled);
        const float word = width(face, text.substr(at, stop - at)), before = glued ? 0 : space;
        const bool first = at == start;
        if (!first && wide + before + word > most && lines.count + 1 < Lines::most) {
            push(end);
            start = at;
            wide = word;
        } else {
            wide += (first ? 0 : before) + word;
        }
        end = stop;
        glued = !is_gap(stop);
        at = stop + (glued ? 0 : 1);
        if (stop < text.size() && text[stop] == '\n') {
            push(end);
            start = at;
            wide = 0;
        }
    }
    if (start < text.size() || lines.count == 0) push(text.size());
    return lines;
}

float Type::floor_scale(Face face, float px_per_mm) const {
    return std::min(1.0f, caption_floor_mm * px_per_mm * std::min(1.0f, text_scale_) / cap(face));
}

float Type::height(Face face, const Lines& lines) const {
    if (lines.count == 0) return 0;
    return lines.scale * (cap(face) + tail(face) + static_cast<float>(lines.count - 1) * pitch(face));
}

}  // namespace restand
