#pragma once
// What is transient about the sheet: nothing here outlives the window or reaches the desk.

#include <optional>
#include <string>

#include "app/widgets/canvas.h"
#include "app/widgets/drawing.h"
#include "app/widgets/pad.h"
#include "app/widgets/side_panel.h"

namespace restand {

/// What a drag moves.
enum class Grip { nothing, panel, drawing, handle };

struct PointerUi {
    bool down = false;
    bool slid = false;  ///< went further than a tap may
    float down_x = 0, down_y = 0, x = 0, y = 0;
    bool known = false;  ///< x, y were seen
    Grip grip = Grip::nothing;
    std::optional<Drag> drag{};          ///< of the handle under it, as it was when pressed
    float from_x = 0, from_y = 0;        ///< where it left what a tap may tremble: a drag counts from there
    double dragged_to = 0;
    std::optional<std::pair<float, float>> pinch{};  ///< middle of the last two-finger event
};

struct PageUi {
    DrawingUi drawing;
    SidePanelUi panel;
    PadUi pad;
    PointerUi pointer;
    std::optional<Drag> dragged{};  ///< the last thing done was dragging this; Escape takes it back
    Held held;
    Book book;                   ///< of the last frame
    bool swallow_space = false;  ///< a space bar that tapped something also comes as text
    bool changed = true;         ///< since the last frame
};

}  // namespace restand
