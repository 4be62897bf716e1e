#include "platform/desktop/damage.h"

#include <imgui.h>

#include <algorithm>
#include <cmath>
#include <cstring>

namespace restand {
namespace {

constexpr int tile = 32;
constexpr std::size_t most_areas = 12;  // more are drawn as one

// A bounding box, grown corner by corner.
struct Box {
    float left, top, right, bottom;
    explicit Box(ImVec2 p) : left(p.x), top(p.y), right(p.x), bottom(p.y) {}
    void take(ImVec2 p) {
        left = std::min(left, p.x), right = std::max(right, p.x);
        top = std::min(top, p.y), bottom = std::max(bottom, p.y);
    }
    // Whole pixels inside `clip`, with one more on each side: renderers round differently.
    PixelRect pixels(const PixelRect& clip) const {
        const auto whole = [](float v, int low, int high) {
            return static_cast<int>(std::clamp(v, static_cast<float>(low), static_cast<float>(high)));
        };
        const int x = whole(std::floor(left) - 1, clip.x, clip.x + clip.w);
        const int y = whole(std::floor(top) - 1, clip.y, clip.y + clip.h);
        return {x, y, whole(std::ceil(right) + 1, clip.x, clip.x + clip.w) - x,
                whole(std::ceil(bottom) + 1, clip.y, clip.y + clip.h) - y};
    }
};

// Two triangles with a part of the atlas, of another size than that part. Each letter is a shape of its own.
bool is_scaled(const ImDrawIdx* index, unsigned count, const ImDrawVert* corner, ImVec2 atlas) {
    if (count != 6) return false;
    const ImDrawVert &a = corner[index[0]], &b = corner[index[2]];  // opposite corners, in ImGui's order
    const ImVec2 texels{(b.uv.x - a.uv.x) * atlas.x, (b.uv.y - a.uv.y) * atlas.y};
    if (texels.x == 0 && texels.y == 0) return false;  // one colour
    return texels.x != b.pos.x - a.pos.x || texels.y != b.pos.y - a.pos.y;
}

void add_shapes(const ImDrawData& data, const ImDrawList& list, const ImDrawCmd& command,
                std::vector<Shape>& out) {
    const PixelRect clip = clip_of(data, command);
    if (clip.empty()) return;
    const ImDrawIdx* index = list.IdxBuffer.Data + command.IdxOffset;
    const ImDrawVert* corner = list.VtxBuffer.Data + command.VtxOffset;
    const ImFontAtlas& fonts = *ImGui::GetIO().Fonts;
    const ImVec2 atlas{static_cast<float>(fonts.TexWidth), static_cast<float>(fonts.TexHeight)};
    for (unsigned first = 0, next = 0; first < command.ElemCount; first = next) {
        Box box(corner[index[first]].pos);
        ImDrawIdx highest = index[first];
        // A triangle whose corners are all new begins the next shape.
        for (next = first; next < command.ElemCount; next += 3) {
            const ImDrawIdx *a = index + next, lowest = std::min({a[0], a[1], a[2]});
            if (next > first && lowest > highest) break;
            highest = std::max({highest, a[0], a[1], a[2]});
            for (int i = 0; i < 3; ++i) box.take(corner[a[i]].pos);
        }
        const PixelRect pixels = box.pixels(clip);
        if (pixels.empty()) continue;
        const bool scaled = is_scaled(index + first, next - first, corner, atlas);
        out.push_back({&list, &command, first, next - first, clip, pixels, scaled});
    }
}

// Folds 64 bits into a hash; multiplication carries each bit to the higher ones, the rotation back down.
std::uint64_t folded(std::uint64_t hash, std::uint64_t more) {
    hash = (hash ^ more) * 0x9E3779B97F4A7C15ull;
    return hash << 29 | hash >> 35;
}

template <class T>
std::uint64_t bits_of(const T& value) {
    static_assert(sizeof(T) == 8);
    std::uint64_t bits;
    std::memcpy(&bits, &value, sizeof bits);
    return bits;
}

// Everything that a shape's pixels follow from but its texture: its clip rectangle, its corners in their order.
std::uint64_t hash_of(const Shape& shape) {
    const ImDrawCmd& command = *shape.command;
    std::uint64_t hash = folded(bits_of(ImVec2(command.ClipRect.x, command.ClipRect.y)), shape.count);
    hash = folded(hash, bits_of(ImVec2(command.ClipRect.z, command.ClipRect.w)));
    const ImDrawIdx* index = shape.list->IdxBuffer.Data + command.IdxOffset + shape.first;
    const ImDrawVert* corner = shape.list->VtxBuffer.Data + command.VtxOffset;
    for (unsigned i = 0; i < shape.count; ++i) {
        const ImDrawVert& at = corner[index[i]];
        hash = folded(hash, bits_of(at.pos));
        hash = folded(hash, bits_of(at.uv) ^ static_cast<std::uint64_t>(at.col) << 17);
    }
    return hash;
}

}  // namespace

PixelRect clip_of(const ImDrawData& data, const ImDrawCmd& command) {
    const auto within = [](float v, float size) { return static_cast<int>(std::clamp(v, 0.0f, size)); };
    const ImVec4& clip = command.ClipRect;
    const int left = within(clip.x - data.DisplayPos.x, data.DisplaySize.x);
    const int top = within(clip.y - data.DisplayPos.y, data.DisplaySize.y);
    return {left, top, within(clip.z - data.DisplayPos.x, data.DisplaySize.x) - left,
            within(clip.w - data.DisplayPos.y, data.DisplaySize.y) - top};
}

PixelRect PixelRect::both(const PixelRect& o) const {
    const int left = std::max(x, o.x), top = std::max(y, o.y);
    return {left, top, std::min(x + w, o.x + o.w) - left, std::min(y + h, o.y + o.h) - top};
}

PixelRect PixelRect::around(const PixelRect& o) const {
    const int left = std::min(x, o.x), top = std::min(y, o.y);
    return {left, top, std::max(x + w, o.x + o.w) - left, std::max(y + h, o.y + o.h) - top};
}

bool shapes_of(const ImDrawData& data, std::vector<Shape>& out) {
    out.clear();
    if (data.DisplayPos.x != 0 || data.DisplayPos.y != 0) return false;
    for (int i = 0; i < data.CmdListsCount; ++i)
        for (const ImDrawCmd& command : data.CmdLists[i]->CmdBuffer) {
            if (command.UserCallback == ImDrawCallback_ResetRenderState) continue;
            if (command.UserCallback) return false;
            add_shapes(data, *data.CmdLists[i], command, out);
        }
    return true;
}

const std::vector<PixelRect>& Damage::of(const ImDrawData& data, const std::vector<Shape>& shapes) {
    const int width = static_cast<int>(data.DisplaySize.x), height = static_cast<int>(data.DisplaySize.y);
    const bool known = !tiles_.empty() && width == width_ && height == height_;
    width_ = width, height_ = height;
    columns_ = (width + tile - 1) / tile, rows_ = (height + tile - 1) / tile;
    std::swap(tiles_, before_);
    hash_tiles(shapes);
    areas_.clear();
    if (!known) {
        areas_.push_back({0, 0, width, height});
        return areas_;
    }
    collect(before_);
    hold_whole_letters(shapes);
    return areas_;
}

// An area that cuts a scaled letter grows around it, until it cuts none.
void Damage::hold_whole_letters(const std::vector<Shape>& shapes) {
    for (PixelRect& area : areas_)
        for (bool grown = true; grown;) {
            grown = false;
            for (const Shape& shape : shapes) {
                if (!shape.scaled || shape.box.both(area).empty() || area.around(shape.box) == area) continue;
                area = area.around(shape.box);
                grown = true;
            }
        }
}

void Damage::hash_tiles(const std::vector<Shape>& shapes) {
    tiles_.assign(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_), 0);
    for (const Shape& shape : shapes) {
        const std::uint64_t hash = hash_of(shape);
        const int right = (shape.box.x + shape.box.w - 1) / tile,
                  bottom = (shape.box.y + shape.box.h - 1) / tile;
        for (int row = shape.box.y / tile; row <= bottom; ++row)
            for (int column = shape.box.x / tile; column <= right; ++column) {
                std::uint64_t& all = tiles_[static_cast<std::size_t>(row * columns_ + column)];
                all = folded(all, hash);
            }
    }
}

// Runs of tiles in each row; a run with the same ends as one that ends above it makes that one taller.
void Damage::collect(const std::vector<std::uint64_t>& before) {
    int damaged = 0;
    for (int row = 0; row < rows_; ++row)
        for (int column = 0, end = 0; column < columns_; column = end + 1) {
            const auto differs = [&](int c) {
                const auto i = static_cast<std::size_t>(row * columns_ + c);
                return c < columns_ && tiles_[i] != before[i];
            };
            for (end = column; differs(end);) ++end;
            if (end == column) continue;
            damaged += end - column;
            const PixelRect run = PixelRect{column * tile, row * tile, (end - column) * tile, tile}.both(
                {0, 0, width_, height_});
            const auto above = std::find_if(areas_.begin(), areas_.end(), [&](const PixelRect& a) {
                return a.x == run.x && a.w == run.w && a.y + a.h == run.y;
            });
            if (above == areas_.end())
                areas_.push_back(run);
            else
                above->h += run.h;
        }
    if (2 * damaged > columns_ * rows_) {
        areas_ = {{0, 0, width_, height_}};
    } else if (areas_.size() > most_areas) {
        PixelRect all = areas_.front();
        for (const PixelRect& area : areas_) all = all.around(area);
        areas_ = {all};
    }
}

}  // namespace restand
