# Puts beside an installed program the libraries that another distribution may not have: cmake -DPREFIX=… -P bundle.cmake
# What belongs to the system stays out: the C and C++ libraries, graphics drivers, display server, sound, devices.
set(folder ${PREFIX}/lib/restand)
file(GLOB modules ${folder}/restand_*.so)
file(GET_RUNTIME_DEPENDENCIES
  RESOLVED_DEPENDENCIES_VAR libraries UNRESOLVED_DEPENDENCIES_VAR unknown
  EXECUTABLES ${PREFIX}/bin/restand MODULES ${modules}
  PRE_EXCLUDE_REGEXES "^ld-linux" "^lib(c|m|dl|rt|pthread|resolv|util|stdc\\+\\+|gcc_s)\\.so" "^linux-vdso"
    "^lib(GL|EGL|OpenGL|GLX|GLdispatch|gbm|drm|X|xcb|wayland|xkbcommon|asound|pulse|udev|systemd|dbus)")
if(unknown)
  message(FATAL_ERROR "not found: ${unknown}")
endif()
file(INSTALL ${libraries} DESTINATION ${folder} FOLLOW_SYMLINK_CHAIN)
