#pragma once
// Frames without a window: the same draw lists, drawn in memory by SDL's software renderer, and saved as PNG.
// Needs no display and no video driver; equal draw lists give equal pixels on the same machine.

#include <filesystem>
#include <vector>

#include "app/host.h"
#include "core/quantity/result.h"

namespace restand {

/// Pixels in rows from the top left; four bytes each: red, green, blue, opacity (255).
struct Picture {
    int width = 0;
    int height = 0;
    std::vector<unsigned char> rgba;  ///< 4 · width · height
    friend bool operator==(const Picture&, const Picture&) = default;
};

/// Draws a frame on a viewport of `glass` pixels, on black. The ImGui context that made `data` must be the
/// current one. SDL's software renderer puts corners on whole pixels, which makes slanting lines ragged;
/// `fineness` 2 to 4 draws that many times as large and averages (text stays as it is; 4 costs 16 times as
/// much). Errors: out_of_range (no pixels, over 16 384 a side times fineness, another fineness), io (SDL's).
Result<Picture> render(const ImDrawData* data, const Viewport& viewport, int fineness = 1);

/// What the host shows on a viewport of that size once it is idle (it wants no more frames, or 30 were
/// drawn). Fails as render() does.
Result<Picture> picture_of(Host& host, const Viewport& viewport, int fineness = 1);

/// Writes a PNG; a file of that name is replaced.
/// Errors: out_of_range (an empty picture), io (the system's words).
Outcome write_png(const std::filesystem::path& path, const Picture& picture);

}  // namespace restand
