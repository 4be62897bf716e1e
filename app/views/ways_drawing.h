#pragma once
// Small pictures of the two ways in which a thing can be read: on which stand, and along what. Schematic, of
// no bike in particular. Filled outlines are convex.

#include "app/views/drawing.h"

namespace restand {

enum class Way { frame_carried, stand_under_arm, along_fork, upright };

Drawing way_drawing(Way way);
// Both stands side by side, each with its name below.
Drawing both_stands();

}  // namespace restand
