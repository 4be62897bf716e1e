#pragma once

namespace restand {

/// What points at the page. A mouse needs less room: rows are lower and targets may be smaller.
enum class Pointer { finger, mouse };
inline constexpr float mouse_target_mm = 6;

}  // namespace restand
