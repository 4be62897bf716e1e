#pragma once
// Transient state of the page: it ends with the window and never reaches the app state.

#include <optional>
#include <string>

#include "app/widgets/canvas.h"
#include "app/widgets/drawing.h"
#include "app/widgets/pad.h"
#include "app/widgets/side_panel.h"

namespace restand {

/// What a drag moves.
enum class Grip { nothing, panel, table, drawing, handle, cursor };

struct PointerUi {
    bool down = false;
    bool slid = false;  ///< moved further than a tap allows
    float down_x = 0, down_y = 0, x = 0, y = 0;
    bool known = false;  ///< x, y are valid
    Pointer kind = Pointer::finger;      ///< the last one used
    std::optional<double> held_from{};   ///< seconds; since when a key that repeats is held
    double repeated_at = 0;              ///< seconds; when it last repeated
    bool repeated = false;
    Grip grip = Grip::nothing;
    std::optional<Drag> drag{};          ///< of the handle under it, as it was when pressed
    float from_x = 0, from_y = 0;        ///< where it passed the tap tolerance; the drag starts there
    double dragged_to = 0;
    std::optional<std::pair<float, float>> pinch{};  ///< middle of the last two-finger event
};

struct PageUi {
    DrawingUi drawing;
    SidePanelUi panel;
    SidePanelUi table;           ///< under the drawing, or in its place beside the panel
    PadUi pad;
    PointerUi pointer;
    std::optional<Drag> dragged{};  ///< set if the last action dragged this; Escape reverts it
    Held held;
    Book book;                   ///< of the last frame
    bool swallow_space = false;  ///< a space key that tapped a target also arrives as text
    std::string in_sight{};      ///< the row that was last scrolled to (SidePanel::in_sight)
    bool changed = true;         ///< since the last frame
};

}  // namespace restand
