#pragma once
// Where does a frame draw another picture than the one before it? So that only those pixels are drawn again.
//
//   draw lists ── shapes ──► each tile of 32 × 32 pixels: a hash of all shapes that touch it, in their order
//                            the tiles whose hash is another one than last time, as rectangles
//
// - A shape is a run of triangles that shares no corner with its neighbours: a filled rectangle, a letter, an
//   outline. It touches the tiles of its bounding box, one pixel wider, inside its clip rectangle.
// - A letter that is drawn larger or smaller than it stands in the atlas lies in a rectangle whole or not at
//   all: SDL's software renderer chooses its pixels by the part that it sees of it.
// - Equal hashes of 64 bits count as equal pictures.
// - The pixels of the font atlas are not compared: who rebuilds the atlas calls forget().

#include <cstdint>
#include <vector>

struct ImDrawCmd;
struct ImDrawData;
struct ImDrawList;

namespace restand {

/// Whole pixels of the viewport, from the top left.
struct PixelRect {
    int x = 0, y = 0, w = 0, h = 0;
    friend bool operator==(const PixelRect&, const PixelRect&) = default;
    bool empty() const { return w <= 0 || h <= 0; }
    PixelRect both(const PixelRect& o) const;    ///< where they overlap; may be empty
    PixelRect around(const PixelRect& o) const;  ///< the smallest that holds both
};

/// Triangles `first` to `first + count` (indices, so multiples of three) of a command.
struct Shape {
    const ImDrawList* list;
    const ImDrawCmd* command;
    unsigned first, count;
    PixelRect clip;  ///< of the command
    PixelRect box;   ///< inside `clip`; never empty
    bool scaled;     ///< a letter of another size than in the atlas
};

/// The clip rectangle of a command on the viewport, in whole pixels: renderers clip no finer, and rounding
/// towards the top left lets neighbours meet without a gap.
PixelRect clip_of(const ImDrawData& data, const ImDrawCmd& command);

/// The shapes of a frame in the order in which they are drawn; those that nobody sees are left out.
/// The ImGui context that made `data` must be the current one. False: nothing is known of the picture (a
/// command draws by itself, or the display does not start at 0,0).
bool shapes_of(const ImDrawData& data, std::vector<Shape>& out);

class Damage {
public:
    /// The rectangles outside which the picture is that of the frame before. Empty: it is the same. The whole
    /// viewport: most of it differs, its size is another, or it is the first frame.
    const std::vector<PixelRect>& of(const ImDrawData& data, const std::vector<Shape>& shapes);

    /// The picture of the frame before is lost; the next one is drawn whole.
    void forget() { tiles_.clear(); }

private:
    void hash_tiles(const std::vector<Shape>& shapes);
    void collect(const std::vector<std::uint64_t>& before);
    void hold_whole_letters(const std::vector<Shape>& shapes);

    int width_ = 0, height_ = 0, columns_ = 0, rows_ = 0;   // pixels; tiles
    std::vector<std::uint64_t> tiles_, before_;             // of the last frame; kept for its memory
    std::vector<PixelRect> areas_;
};

}  // namespace restand
