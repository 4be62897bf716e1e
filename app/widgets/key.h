#pragma once
// Keys: outlined, or filled solid for the one primary action. A pressed key changes shape and tone.

#include "app/views/page_view.h"
#include "app/widgets/canvas.h"

namespace restand {

enum class Sign { none, back, close, settings, erase, shift, whole, undo };  ///< a symbol, not text

struct KeyLook {
    Face face = Face::bold;
    Ink ink = Ink::ink;
    float least_mm = 12;
    Sign sign = Sign::none;
    bool chosen = false;  ///< solid, as a chosen option
    bool quiet = false;   ///< no frame
    bool light = false;   ///< a thin frame, for a minor action
    Local local = Local::none;
};

/// Draws the key and records its target; without `tap` the key is inactive and only outlined.
void key(Canvas& canvas, std::string_view id, const Rect& area, std::string_view label,
         std::optional<Action> tap, const KeyLook& look = {});

/// What the sign says, with the key of the keyboard that does the same.
std::string_view name_of(Sign sign);

/// The drawn sign in the middle of `area`, about 6 mm across.
void draw_sign(Canvas& canvas, Sign sign, const Rect& area, Colour colour);

void draw_check(Canvas& canvas, float x, float y, float size, Colour colour);

/// Height in px of the primary: its key and, when it is disabled, the reason above it.
float primary_height(const Canvas& canvas, const Primary& primary, float width);
void draw_primary(Canvas& canvas, const Primary& primary, const Rect& area);

}  // namespace restand
