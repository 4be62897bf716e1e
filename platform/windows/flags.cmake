# How Restand is compiled for Windows 10 and newer: one file that needs nothing but what the system has.
target_compile_definitions(restand_flags INTERFACE
  _WIN32_WINNT=0x0A00 WINVER=0x0A00 UNICODE _UNICODE WIN32_LEAN_AND_MEAN NOMINMAX)
# Threads have the stack that they have on Linux.
target_link_options(restand_flags INTERFACE -static -Wl,--stack,8388608)
