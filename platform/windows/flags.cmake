# How Restand is compiled for Windows 10 and newer: one file that needs nothing but what the system has.
target_compile_definitions(restand_flags INTERFACE
  _WIN32_WINNT=0x0A00 WINVER=0x0A00 UNICODE _UNICODE WIN32_LEAN_AND_MEAN NOMINMAX)
# What GCC's standard library lacks there.
target_include_directories(restand_flags BEFORE INTERFACE ${CMAKE_CURRENT_LIST_DIR}/standard)
# Threads have the stack that they have on Linux.
target_link_options(restand_flags INTERFACE -static -Wl,--stack,8388608)
