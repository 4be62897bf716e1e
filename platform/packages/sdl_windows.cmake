# SDL by its own build, which finds out what the cross compiler's headers have.
# It draws by Direct3D 9 or 11, or without.
foreach(part SHARED TEST AUDIO JOYSTICK HAPTIC HIDAPI SENSOR POWER OPENGL OPENGLES VULKAN)
  set(SDL_${part} OFF CACHE BOOL "")
endforeach()
set(HAVE_D3D12_H OFF CACHE INTERNAL "")
set(SDL_STATIC ON CACHE BOOL "")
set(SDL2_DISABLE_SDL2MAIN ON CACHE BOOL "")
set(SDL2_DISABLE_INSTALL ON CACHE BOOL "")
add_subdirectory(${sdl} sdl EXCLUDE_FROM_ALL)
add_library(SDL2 ALIAS SDL2-static)
# No video, no packed pictures.
target_compile_definitions(SDL2-static PRIVATE SDL_HAVE_YUV=0 SDL_HAVE_RLE=0)
