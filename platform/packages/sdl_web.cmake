# SDL brings a configuration for the web: nothing needs to be probed.
set(parts)
foreach(part . atomic audio audio/disk audio/dummy audio/emscripten cpuinfo dynapi events file filesystem/emscripten haptic
             haptic/dummy joystick joystick/emscripten loadso/dlopen locale locale/emscripten misc misc/emscripten power
             power/emscripten render render/opengles2 render/software sensor sensor/dummy stdlib thread thread/generic
             timer timer/unix video video/dummy video/emscripten video/yuv2rgb)
  file(GLOB some ${sdl}/src/${part}/*.c)
  list(APPEND parts ${some})
endforeach()
add_library(SDL2 STATIC ${parts})
target_include_directories(SDL2 PRIVATE ${sdl}/include)
